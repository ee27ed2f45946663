import { useId, useState } from 'react'
import { formatShort, parseNumber } from '../../../shared-core/mix/units.ts'
import { FieldError } from '../../parts/field-error.tsx'
import { decimalSign } from '../../parts/say-numbers.ts'
import { useStore } from '../../state/store.ts'

type Props = { label: string; value: number; from: number; to: number; onKeep: (value: number) => void }

/** A number kept when the field is left or Enter is pressed; anything else is said beside it and not kept. */
export function KeptNumber({ label, value, from, to, onKeep }: Props) {
  const id = useId()
  const sign = useStore((s) => decimalSign(s.settings))
  const shown = formatShort(value, 3, sign)
  const [text, setText] = useState(shown)
  const [keptText, setKeptText] = useState(shown)
  if (keptText !== shown) {
    setKeptText(shown)
    setText(shown)
  }
  const [left, setLeft] = useState(false)
  const parsed = parseNumber(text)
  const bad = parsed === null || parsed < from || parsed > to
  const keep = () => {
    setLeft(true)
    if (bad || parsed === value) return
    onKeep(parsed)
  }
  const said = {
    message: 'Not kept.',
    remedy: `Write a number from ${formatShort(from, 1, sign)} to ${formatShort(to, 1, sign)}.`,
  }
  return (
    <div className="field">
      <span>
        <label htmlFor={id}>{label}</label>
      </span>
      <input
        id={id}
        className="input num"
        inputMode="decimal"
        autoComplete="off"
        value={text}
        aria-invalid={bad && left}
        aria-describedby={bad && left ? `${id}-error` : undefined}
        onChange={(event) => {
          setLeft(false)
          setText(event.target.value)
        }}
        onBlur={keep}
        onKeyDown={(event) => {
          if (event.key === 'Enter') keep()
        }}
      />
      <FieldError id={`${id}-error`} said={bad && left ? said : null} />
    </div>
  )
}
