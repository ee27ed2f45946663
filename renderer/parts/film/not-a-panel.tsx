/** What stands wherever a prediction stands, and what no prediction knows. */
export function NotAPanel({ short = false }: { short?: boolean }) {
  return (
    <>
      <b>A prediction is not a panel: spray a check panel.</b>
      {short ? null : ' It cannot know texture, travel with angle, bleed, a changed batch or a thin ground.'}
    </>
  )
}
