import { useEffect, useState } from 'react'
import { formatQuantity, type Measure, parseQuantity, shownUnit } from '../../shared-core/mix/units.ts'
import { useStore } from '../state/store.ts'
import { decimalSign, usesUsUnits } from './say-numbers.ts'

type Props = {
  label: string
  measure: Measure
  /** mm, mL, g, kPa or °C; null is unknown */
  value: number | null
  onValue: (value: number | null) => void
  /** The least and the most that is taken, as `value`; what is outside is marked, and the range is said. */
  limits?: { from: number; to: number }
}

/** A quantity typed in any unit ("16 psi", "1,1 bar"), shown in the user's own. Leaving the field shows what was understood; an empty one, what a bare figure is taken for. */
export function QuantityField({ label, measure, value, onValue, limits }: Props) {
  const system = useStore((s) => (usesUsUnits(s.settings) ? 'us' : 'metric'))
  const decimal = useStore((s) => decimalSign(s.settings))
  const shown = value === null ? '' : formatQuantity(value, measure, system, decimal)
  const [text, setText] = useState(shown)
  const [typing, setTyping] = useState(false)
  useEffect(() => {
    if (!typing) setText(shown)
  }, [shown, typing])
  const read = text.trim() === '' ? null : parseQuantity(text, measure, system)
  const say = (figure: number) => formatQuantity(figure, measure, system, decimal)
  const isOutside = read?.ok && limits !== undefined && (read.value < limits.from || read.value > limits.to)
  const wrong = !typing
    ? null
    : isOutside
      ? `from ${say(limits.from)} to ${say(limits.to)}${value === null ? '' : `; until then ${shown}`}`
      : read?.ok === false
        ? `${read.remedy.charAt(0).toLowerCase()}${read.remedy.slice(1)}`
        : null
  const bad = wrong !== null
  return (
    <label className="field">
      <span>{bad ? `${label}: ${wrong}` : label}</span>
      <input
        className="input"
        value={text}
        placeholder={shownUnit(measure, system)}
        aria-invalid={bad}
        onFocus={() => setTyping(true)}
        onBlur={() => {
          if (!bad) setTyping(false)
        }}
        onChange={(event) => {
          setTyping(true)
          setText(event.target.value)
          const typed = event.target.value.trim() === '' ? null : parseQuantity(event.target.value, measure, system)
          if (typed === null) onValue(null)
          // what cannot be understood is no number at all: its first figures alone would be a wrong one
          else onValue(typed.ok ? typed.value : null)
        }}
      />
    </label>
  )
}
