import { type ReactNode, useId, useState } from 'react'
import { formatShort, parseNumber } from '../../../../shared-core/mix/units.ts'
import { Cross, Minus, Plus } from '../../../parts/icons.tsx'
import { decimalSign } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'

type Props = {
  label: string
  value: number
  onValue: (value: number) => void
  /** The slider's ends. */
  from: number
  to: number
  /** What may be typed. */
  least?: number
  most: number
  /** Figures under the slider. */
  marks: readonly number[]
  unit?: string
  note?: ReactNode
  onRemove?: () => void
}

/** An amount: a slider, minus and plus for gloves, and its figure, which can be typed. */
export function Dose({ label, value, onValue, from, to, least = from, most, marks, unit = '', note, onRemove }: Props) {
  const id = useId()
  const end = Math.max(to, Math.ceil(value))
  // a slider in whole steps cannot stand on 2.5
  const step = Number.isInteger(value) ? 1 : 0.01
  const set = (wanted: number) => {
    if (wanted >= least && wanted <= most) onValue(wanted)
  }
  return (
    <div className="plan-dose">
      <div className="plan-dose-head">
        <label htmlFor={id}>{label}</label>
        {onRemove ? (
          <button type="button" className="plan-square" aria-label={`Take out ${label}`} onClick={onRemove}>
            <Cross />
          </button>
        ) : null}
        <Figure label={`${label}, typed`} value={value} from={least} most={most} unit={unit} onValue={onValue} />
      </div>
      <div className="plan-dose-slide">
        <button
          type="button"
          className="btn"
          aria-label={`Less: ${label}`}
          aria-disabled={Math.ceil(value) - 1 < least}
          onClick={() => set(Math.ceil(value) - 1)}
        >
          <Minus />
        </button>
        <span className="plan-rule">
          <input
            id={id}
            type="range"
            min={from}
            max={end}
            step={step}
            value={value}
            aria-valuetext={`${value}${unit ? ` ${unit}` : ''}`}
            onChange={(event) => set(Number(event.target.value))}
          />
          <span className="plan-marks" aria-hidden="true">
            {marks.map((mark) => (
              <i key={mark} style={{ left: `${((mark - from) / (end - from)) * 100}%` }}>
                {mark}
              </i>
            ))}
          </span>
        </span>
        <button
          type="button"
          className="btn"
          aria-label={`More: ${label}`}
          aria-disabled={value >= most}
          onClick={() => set(Math.floor(value) + 1)}
        >
          <Plus />
        </button>
      </div>
      {note ? <p className="fine">{note}</p> : null}
    </div>
  )
}

type FigureProps = Pick<Props, 'label' | 'value' | 'onValue' | 'from' | 'most'> & { unit: string }

/** What is typed stays as it is typed until the field is left; what is no number there is marked and not taken. */
function Figure({ label, value, onValue, from, most, unit }: FigureProps) {
  const sign = useStore((s) => decimalSign(s.settings))
  const [typed, setTyped] = useState<string | null>(null)
  const taken = (text: string) => {
    const number = parseNumber(text)
    return number !== null && number >= from && number <= most ? number : null
  }
  return (
    <span className="plan-figure">
      <input
        className="input"
        inputMode="decimal"
        aria-label={label}
        aria-invalid={typed !== null && taken(typed) === null}
        title={`${from} to ${most}`}
        value={typed ?? formatShort(value, 2, sign)}
        onFocus={(event) => event.target.select()}
        onChange={(event) => {
          setTyped(event.target.value)
          const number = taken(event.target.value)
          if (number !== null) onValue(number)
        }}
        onBlur={() => setTyped(null)}
      />
      {unit ? <span aria-hidden="true">{unit}</span> : null}
    </span>
  )
}
