/** Of a row; the list around it has Space for it. */
export function PinButton({ pinned, onToggle }: { pinned: boolean; onToggle: () => void }) {
  return (
    <button
      type="button"
      className={`btn match-pin ${pinned ? 'main' : ''}`}
      aria-pressed={pinned}
      tabIndex={-1}
      onClick={(event) => {
        event.stopPropagation()
        onToggle()
      }}
      onDoubleClick={(event) => event.stopPropagation()}
    >
      {pinned ? 'Pinned' : 'Pin'}
    </button>
  )
}
