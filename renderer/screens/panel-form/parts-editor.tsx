import { useId } from 'react'
import { AmountUnit, MaterialKind, type Mixture, type Part } from '../../../shared-core/records/mixture.ts'
import { Cross } from '../../parts/icons.tsx'
import { NumberField } from '../../parts/number-field.tsx'

const unitInWords: Record<AmountUnit, string> = {
  parts: 'parts',
  'percent-of-total': '% of the total',
  'percent-on-top': '% on top',
  'grams-per-litre': 'g per litre',
}

export const materialKindInWords: Record<MaterialKind, string> = {
  concentrate: 'concentrate',
  carrier: 'carrier',
  hardener: 'hardener',
  reducer: 'reducer',
  base: 'base',
  clear: 'clear',
  sealer: 'sealer',
  pearl: 'dry pearl',
  flake: 'flake',
  other: 'other',
}

type Props = { mixture: Mixture; known: readonly string[]; onMixture: (mixture: Mixture) => void }

/** A mixture part by part, in the order they go into the cup; a part can be a mixture of its own, to any depth. */
export function PartsEditor({ mixture, known, onMixture }: Props) {
  const names = useId()
  const setPart = (index: number, part: Part) => onMixture({ ...mixture, parts: mixture.parts.with(index, part) })
  const add = (part: Part) => onMixture({ ...mixture, parts: [...mixture.parts, part] })
  return (
    <div className="parts-edit">
      <datalist id={names}>
        {known.map((name) => (
          <option key={name} value={name}>
            {name}
          </option>
        ))}
      </datalist>
      <ul>
        {mixture.parts.map((part, index) => (
          <li key={index}>
            <div className="part-line">
              <NumberField
                label="Amount"
                value={part.amount}
                min={0.000001}
                onValue={(amount) => {
                  if (amount !== null) setPart(index, { ...part, amount })
                }}
              />
              <label className="field">
                <span>Meant as</span>
                <select
                  className="select"
                  value={part.unit}
                  onChange={(event) => setPart(index, { ...part, unit: AmountUnit.parse(event.target.value) })}
                >
                  {AmountUnit.options.map((unit) => (
                    <option key={unit} value={unit}>
                      {unitInWords[unit]}
                    </option>
                  ))}
                </select>
              </label>
              {part.material ? (
                <MaterialFields part={part} names={names} onPart={(next) => setPart(index, next)} />
              ) : (
                <label className="field">
                  <span>Mixture called</span>
                  <input
                    className="input"
                    value={part.mixture!.name}
                    placeholder="blend"
                    onChange={(event) =>
                      setPart(index, { ...part, mixture: { ...part.mixture!, name: event.target.value } })
                    }
                  />
                </label>
              )}
              <button
                type="button"
                className="btn"
                disabled={mixture.parts.length === 1}
                aria-label={`Remove ${part.material?.name ?? (part.mixture!.name || 'the mixture')}`}
                onClick={() => onMixture({ ...mixture, parts: mixture.parts.filter((_, i) => i !== index) })}
              >
                <span className="cross">
                  <Cross />
                </span>
              </button>
            </div>
            {part.mixture ? (
              <PartsEditor
                mixture={part.mixture}
                known={known}
                onMixture={(inner) => setPart(index, { ...part, mixture: inner })}
              />
            ) : null}
          </li>
        ))}
      </ul>
      <p className="part-acts">
        <button type="button" className="btn plain" onClick={() => add(materialPart('New material', 'concentrate'))}>
          Add a material
        </button>
        <button
          type="button"
          className="btn plain"
          onClick={() =>
            add({
              amount: 1,
              unit: 'parts',
              material: null,
              mixture: { name: 'blend', basis: mixture.basis, parts: [materialPart('New material', 'concentrate')] },
            })
          }
        >
          Add a mixture of its own
        </button>
      </p>
    </div>
  )
}

const materialPart = (name: string, kind: MaterialKind): Part => ({
  amount: 1,
  unit: 'parts',
  material: { id: null, name, kind },
  mixture: null,
})

function MaterialFields({ part, names, onPart }: { part: Part; names: string; onPart: (part: Part) => void }) {
  const material = part.material!
  return (
    <>
      <label className="field">
        <span>Material</span>
        <input
          className="input"
          value={material.name}
          list={names}
          aria-invalid={material.name.trim() === ''}
          onChange={(event) => onPart({ ...part, material: { ...material, id: null, name: event.target.value } })}
        />
      </label>
      <label className="field">
        <span>Kind</span>
        <select
          className="select"
          value={material.kind}
          onChange={(event) =>
            onPart({ ...part, material: { ...material, id: null, kind: MaterialKind.parse(event.target.value) } })
          }
        >
          {MaterialKind.options.map((kind) => (
            <option key={kind} value={kind}>
              {materialKindInWords[kind]}
            </option>
          ))}
        </select>
      </label>
    </>
  )
}
