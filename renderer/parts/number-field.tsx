import { useState } from 'react'
import { formatShort, parseNumber } from '../../shared-core/mix/units.ts'
import { useStore } from '../state/store.ts'
import { decimalSign } from './say-numbers.ts'

type Props = {
  label: string
  value: number | null
  onValue: (value: number | null) => void
  min?: number
  max?: number
  digits?: number
}

/**
 * A plain number typed with comma or point; empty is null. What cannot be a number stays on screen and is marked: what
 * may be typed, and what counts until then, stands above it.
 */
export function NumberField({ label, value, onValue, min = -Infinity, max = Infinity, digits = 3 }: Props) {
  const sign = useStore((s) => decimalSign(s.settings))
  const [text, setText] = useState(value === null ? '' : formatShort(value, digits, sign))
  const parsed = text.trim() === '' ? null : parseNumber(text)
  const bad = text.trim() !== '' && (parsed === null || parsed < min || parsed > max)
  const [seen, setSeen] = useState(value)
  if (value !== seen) {
    setSeen(value)
    // a change from elsewhere (a button, undo) is shown; what is being typed stays as it is typed
    if (parsed !== value) setText(value === null ? '' : formatShort(value, digits, sign))
  }
  const say = (figure: number) => formatShort(figure, 3, sign)
  const range = `${Number.isFinite(min) ? ` from ${say(min)}` : ''}${Number.isFinite(max) ? ` to ${say(max)}` : ''}`
  const until = value === null ? '' : `; until then ${formatShort(value, digits, sign)}`
  return (
    <label className="field">
      <span>{bad ? `${label}: a number${range}${until}` : label}</span>
      <input
        className="input"
        inputMode="decimal"
        aria-invalid={bad}
        value={text}
        onChange={(event) => {
          setText(event.target.value)
          const typed = event.target.value.trim() === '' ? null : parseNumber(event.target.value)
          if (event.target.value.trim() === '') onValue(null)
          else if (typed !== null && typed >= min && typed <= max) onValue(typed)
        }}
      />
    </label>
  )
}
