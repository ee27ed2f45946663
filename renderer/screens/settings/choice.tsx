import { useId } from 'react'

type Props<T extends string> = {
  label: string
  value: T
  options: readonly (readonly [value: T, name: string])[]
  onChange: (value: T) => void
}

/** One of a few, all in sight; the chosen one is filled. */
export function Choice<T extends string>({ label, value, options, onChange }: Props<T>) {
  const id = useId()
  return (
    <div className="settings-choice">
      <p id={id} className="fine">
        {label}
      </p>
      <div className="pair" role="group" aria-labelledby={id}>
        {options.map(([option, name]) => (
          <button key={option} type="button" aria-pressed={option === value} onClick={() => onChange(option)}>
            {name}
          </button>
        ))}
      </div>
    </div>
  )
}
