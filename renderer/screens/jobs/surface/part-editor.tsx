import { type FormEvent, useState } from 'react'
import { type ShapeMeasure, shapes, sheetDensities } from '../../../../shared-core/mix/surface/shapes.ts'
import type { Measure } from '../../../../shared-core/mix/units.ts'
import type { PartSurface, PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import { FieldError } from '../../../parts/field-error.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import { QuantityField } from '../../../parts/quantity-field.tsx'
import { useStore } from '../../../state/store.ts'
import { upperFirst } from '../../match/reading-words.ts'
import { TextField } from '../text-field.tsx'
import { areaInWords, tryArea } from './areas.ts'

type Typed = { name: string; surface: PartSurface }
const blank: Typed = { name: '', surface: { shape: 'typed', measures: {} } }

const keyOf = (jobId: string): string => `overground-part ${jobId}`
/** A part that is half typed survives a reload. */
export function keptNewPart(jobId: string): Typed | null {
  const kept = sessionStorage.getItem(keyOf(jobId))
  return kept === null ? null : (JSON.parse(kept) as Typed)
}
export const dropNewPart = (jobId: string): void => sessionStorage.removeItem(keyOf(jobId))

type Props = {
  jobId: string
  /** Null: a new one, which is added when it is complete; another is changed as it is typed. */
  part: PartToPaint | null
  onPart: (part: PartToPaint) => void
  onCancel?: () => void
}

/** A part by its name and its area: typed, or worked out from a shape and its measures. */
export function PartEditor({ jobId, part, onPart, onCancel }: Props) {
  const settings = useStore((s) => s.settings)
  const [typed, setTyped] = useState<Typed>(() => part ?? keptNewPart(jobId) ?? blank)
  const [said, setSaid] = useState(false)
  const form = shapes.find(({ name }) => name === typed.surface.shape) ?? shapes[0]!
  const area = tryArea(typed.surface)
  const wrong = !area.ok
    ? area
    : typed.name.trim() === ''
      ? { message: 'The part has no name yet.', remedy: 'Write what it is: “Tank”.' }
      : null
  const madeOf = ({ name, surface }: Typed): PartToPaint | null => {
    const found = tryArea(surface)
    if (!found.ok || name.trim() === '') return null
    const { areaM2, doubt } = found.estimate
    return { id: part?.id ?? '', name, areaM2, areaDoubt: Math.min(doubt, 1), surface, sprayed: part?.sprayed ?? null }
  }
  const set = (next: Typed) => {
    setTyped(next)
    if (part === null) sessionStorage.setItem(keyOf(jobId), JSON.stringify(next))
    const made = part === null ? null : madeOf(next)
    if (made) onPart(made)
  }
  const setMeasure = (key: string, value: number | null) => {
    const { [key]: _, ...others } = typed.surface.measures
    // what is taken out falls back to the usual value, where the shape has one
    set({ ...typed, surface: { ...typed.surface, measures: value === null ? others : { ...others, [key]: value } } })
  }
  const submit = (event: FormEvent) => {
    event.preventDefault()
    const made = madeOf(typed)
    setSaid(made === null)
    if (!made || part !== null) return
    dropNewPart(jobId)
    onPart(made)
  }
  return (
    <form className="job-part-form" onSubmit={submit} noValidate>
      <div className="job-fields">
        <TextField
          label="Part"
          needed={said}
          value={typed.name}
          hint="Tank"
          maxLength={120}
          onValue={(name) => set({ ...typed, name })}
        />
        <label className="field">
          <span>Its area</span>
          <select
            className="select"
            value={form.name}
            onChange={({ target: { value } }) => set({ ...typed, surface: { shape: value, measures: {} } })}
          >
            {shapes.map(({ name, title }) => (
              <option key={name} value={name}>
                {title}
              </option>
            ))}
          </select>
        </label>
        {form.measures.map((measure) => (
          <MeasureField
            key={`${form.name} ${measure.key}`}
            measure={measure}
            value={typed.surface.measures[measure.key] ?? null}
            onValue={(value) => setMeasure(measure.key, value)}
          />
        ))}
        {form.measures.some(({ key }) => key === 'densityKgPerL') ? (
          <label className="field">
            <span>Density of a usual one</span>
            <select
              className="select"
              value=""
              onChange={({ target: { value } }) => setMeasure('densityKgPerL', Number(value))}
            >
              <option value="">choose</option>
              {sheetDensities.map(({ name, densityKgPerL }) => (
                <option key={name} value={densityKgPerL}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        ) : null}
      </div>
      <p>
        {area.ok ? <b className="num">{areaInWords(area.estimate, settings)}</b> : null}
        <span className="fine">{form.name === 'typed' ? '' : ` ${upperFirst(form.formula)}.`}</span>
      </p>
      {part === null ? (
        <>
          <FieldError id="job-part-wrong" said={said ? wrong : null} />
          <p className="jobs-acts">
            <button type="submit" className="btn main">
              Add this part
            </button>
            <button type="button" className="btn plain" onClick={onCancel}>
              Cancel
            </button>
          </p>
        </>
      ) : wrong ? (
        <FieldError id="job-part-wrong" said={{ ...wrong, remedy: `${wrong.remedy} Until then it stays as it was.` }} />
      ) : null}
    </form>
  )
}

const measureOf: Partial<Record<ShapeMeasure['unit'], Measure>> = {
  mm: 'distance',
  'm²': 'area',
  g: 'mass',
  'kg/L': 'density',
}

type FieldProps = { measure: ShapeMeasure; value: number | null; onValue: (value: number | null) => void }

function MeasureField({ measure, value, onValue }: FieldProps) {
  const quantity = measureOf[measure.unit]
  if (quantity) return <QuantityField label={measure.label} measure={quantity} value={value} onValue={onValue} />
  const label = measure.unit === '%' ? `${measure.label} in %` : measure.label
  return (
    <NumberField
      label={measure.usual === null ? label : `${label}, usually ${measure.usual}`}
      value={value}
      min={0.01}
      max={measure.unit === 'sides' ? 2 : 100}
      digits={1}
      onValue={onValue}
    />
  )
}
