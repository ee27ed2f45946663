type Props = {
  legend: string
  all: readonly { id: string; name: string }[]
  /** Null: all of them. */
  chosen: readonly string[] | null
  onChosen: (chosen: string[] | null) => void
}

/** Some of a few things; all of them is said as null, so that what comes later counts too. One stays ticked. */
export function TickList({ legend, all, chosen, onChosen }: Props) {
  const ticked = (id: string) => chosen === null || chosen.includes(id)
  const turn = (id: string) => {
    const next = all.filter((each) => (each.id === id ? !ticked(id) : ticked(each.id))).map((each) => each.id)
    if (next.length > 0) onChosen(next.length === all.length ? null : next)
  }
  return (
    <fieldset className="plan-ticks">
      <legend>{legend}</legend>
      {all.map(({ id, name }) => (
        <label key={id} className="check">
          <input type="checkbox" checked={ticked(id)} onChange={() => turn(id)} />
          {name}
        </label>
      ))}
      {chosen === null ? null : (
        <button type="button" className="btn plain" onClick={() => onChosen(null)}>
          All
        </button>
      )}
    </fieldset>
  )
}
