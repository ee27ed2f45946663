import { isOnlyLookedAt, onlyLookedAt } from '../../commands/command.ts'
import { useStore } from '../../state/store.ts'

type Props = {
  label: string
  value: string
  onValue: (value: string) => void
  /** It cannot be empty. */
  needed?: boolean
  /** Several lines. */
  lines?: number
  hint?: string
  maxLength?: number
  type?: 'text' | 'date'
  list?: string
}

/** Words that are kept as they are typed, and only read while nothing can be kept. */
export function TextField({ label, value, onValue, needed, lines, hint, maxLength, type = 'text', list }: Props) {
  const only = useStore(isOnlyLookedAt)
  const field = {
    className: 'input',
    value,
    placeholder: hint,
    maxLength,
    readOnly: only,
    title: only ? onlyLookedAt : undefined,
    'aria-invalid': needed && value.trim() === '',
    onChange: (event: { target: { value: string } }) => onValue(event.target.value),
  }
  return (
    <label className="field">
      <span>{label}</span>
      {lines ? <textarea {...field} rows={lines} /> : <input {...field} type={type} list={list} autoComplete="off" />}
    </label>
  )
}
