import { type ShapeMeasure, shapes, sheetDensities } from '../../../../shared-core/mix/surface/shapes.ts'
import { formatQuantity, formatShort } from '../../../../shared-core/mix/units.ts'
import { Cross } from '../../../parts/icons.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import { QuantityField } from '../../../parts/quantity-field.tsx'
import type { DraftPart } from '../../../state/mix-draft.ts'
import type { Wording } from '../say-amounts.ts'
import { estimateOf } from './spray-job.ts'

type Props = {
  part: DraftPart
  words: Wording
  onPart: (part: DraftPart) => void
  onRemove: () => void
}

/** One part to paint: a shape with its measures, a typed area, or a mass of sheet. */
export function PartForm({ part, words, onPart, onRemove }: Props) {
  const shape = shapes.find(({ name }) => name === part.surface.shape) ?? shapes[0]!
  const found = estimateOf(part)
  const measure = (key: string, value: number | null) => {
    const measures = { ...part.surface.measures }
    if (value === null) delete measures[key]
    else measures[key] = value
    onPart({ ...part, surface: { ...part.surface, measures } })
  }
  return (
    <li className="mix-part">
      <div className="mix-fields">
        <label className="field">
          <span>Part</span>
          <input
            className="input"
            value={part.name}
            placeholder="Tank"
            onChange={(event) => onPart({ ...part, name: event.target.value })}
          />
        </label>
        <label className="field mix-wide">
          <span>Its area</span>
          <select
            className="select"
            value={shape.name}
            onChange={(event) => onPart({ ...part, surface: { shape: event.target.value, measures: {} } })}
          >
            {shapes.map(({ name, title }) => (
              <option key={name} value={name}>
                {title}
              </option>
            ))}
          </select>
        </label>
        <button
          type="button"
          className="btn plain mix-remove"
          aria-label={`Take out ${part.name || shape.title}`}
          onClick={onRemove}
        >
          <Cross />
        </button>
      </div>
      <div className="mix-fields">
        {shape.measures.map((each) => (
          <MeasureField
            key={`${shape.name} ${each.key}`}
            measure={each}
            value={part.surface.measures[each.key] ?? each.usual}
            onValue={(value) => measure(each.key, value)}
          />
        ))}
      </div>
      <p className="fine">
        {shape.name === 'typed' ? '' : `${shape.formula}. `}
        {'area' in found ? (
          <b>
            {formatQuantity(found.area.areaM2, 'area', words.system, words.decimal)} ±{' '}
            {formatShort(found.area.doubt * 100, 0, words.decimal)} %
          </b>
        ) : null}
      </p>
    </li>
  )
}

type FieldProps = { measure: ShapeMeasure; value: number | null; onValue: (value: number | null) => void }

function MeasureField({ measure: { key, label, unit }, value, onValue }: FieldProps) {
  switch (unit) {
    case 'mm':
      return <QuantityField label={label} measure="distance" value={value} onValue={onValue} />
    case 'm²':
      return <QuantityField label={label} measure="area" value={value} onValue={onValue} />
    case 'g':
      return <QuantityField label={label} measure="mass" value={value} onValue={onValue} />
    case 'kg/L':
      return (
        <>
          <label className="field">
            <span>Made of</span>
            <select
              className="select"
              value={sheetDensities.find(({ densityKgPerL }) => densityKgPerL === value)?.name ?? ''}
              onChange={(event) =>
                onValue(sheetDensities.find(({ name }) => name === event.target.value)?.densityKgPerL ?? null)
              }
            >
              <option value="">Something else</option>
              {sheetDensities.map(({ name }) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          </label>
          <QuantityField label={label} measure="density" value={value} onValue={onValue} />
        </>
      )
    case '%':
      return <NumberField label={`${label}, %`} value={value} min={0.1} max={100} digits={1} onValue={onValue} />
    case 'sides':
      return <NumberField key={key} label={label} value={value} min={1} max={2} digits={0} onValue={onValue} />
  }
}
