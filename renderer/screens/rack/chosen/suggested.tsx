import { useId } from 'react'

/** As many names as are taken in at a glance. */
const most = 8

type Props = {
  label: string
  text: string
  /** What the rack has already. */
  known: readonly string[]
  onText: (text: string) => void
  /** A name that is taken by a press; Enter takes what is typed. */
  onTake: (name: string) => void
}

/** A field for a name, and under it the names of the rack that it could be: typed twice in two ways is two names. */
export function Suggested({ label, text, known, onText, onTake }: Props) {
  const id = useId()
  const typed = text.trim().toLowerCase()
  const fitting = known.filter((name) => name.toLowerCase().includes(typed) && name.toLowerCase() !== typed)
  // what begins as typed stands first
  const shown = fitting
    .toSorted((a, b) => Number(!a.toLowerCase().startsWith(typed)) - Number(!b.toLowerCase().startsWith(typed)))
    .slice(0, most)
  return (
    <div className="rack-suggested">
      <label className="field" htmlFor={id}>
        <span>{label}</span>
        <input
          id={id}
          className="input"
          value={text}
          autoComplete="off"
          maxLength={60}
          onChange={(event) => onText(event.target.value)}
          onKeyDown={(event) => {
            if (event.key !== 'Enter' || text.trim() === '') return
            event.preventDefault()
            onTake(text.trim())
          }}
        />
      </label>
      {shown.length > 0 ? (
        <div className="rack-suggestions" role="group" aria-label="On this rack already">
          {shown.map((name) => (
            <button key={name} type="button" className="word" onClick={() => onTake(name)}>
              <span>{name}</span>
            </button>
          ))}
          {fitting.length > most ? (
            <span className="fine">and {fitting.length - most} more: type to find them</span>
          ) : null}
        </div>
      ) : null}
    </div>
  )
}
