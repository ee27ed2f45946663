import { FieldError, type Said } from './field-error.tsx'

type Props = { id: string; value: string; onChange: (path: string) => void; error: Said | null }

/** Where a path is typed, and what is wrong with it. */
export const PathInput = ({ id, value, onChange, error }: Props) => (
  <>
    <input
      id={id}
      className="input"
      value={value}
      spellCheck={false}
      autoComplete="off"
      aria-invalid={error !== null}
      aria-describedby={error ? `${id}-error` : undefined}
      onChange={(event) => onChange(event.target.value)}
    />
    <FieldError id={`${id}-error`} said={error} />
  </>
)
