/** Above a form that begins with what was typed into it before and not saved. */
export function KeptWords({ onEmpty }: { onEmpty: () => void }) {
  return (
    <p className="kept-words" role="status">
      <span>What you had typed before is here again.</span>
      <button type="button" className="btn plain" onClick={onEmpty}>
        Start empty
      </button>
    </p>
  )
}
