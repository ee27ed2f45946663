import { useId } from 'react'
import { type Layer, LayerKind } from '../../../shared-core/records/panel.ts'
import { Cross } from '../../parts/icons.tsx'
import { layerKindInWords } from '../../parts/layer-kinds.ts'
import { NumberField } from '../../parts/number-field.tsx'
import { HowItWentOn } from './how-it-went-on.tsx'
import { MixtureEditor } from './mixture-editor.tsx'

type Props = {
  layer: Layer
  number: number
  count: number
  grounds: readonly string[]
  onChange: (layer: Layer) => void
  onMove: (by: -1 | 1) => void
  onRemove: () => void
}

const namePlaceholder: Partial<Record<Layer['kind'], string>> = {
  ground: 'bright silver, gold …',
  sealer: 'mid grey …',
  clear: 'gloss …',
}

/** One layer of the build: what it is, how many coats, its formula, and how it went on. */
export function LayerEditor({ layer, number, count, grounds, onChange, onMove, onRemove }: Props) {
  const known = useId()
  const set = (change: Partial<Layer>) => onChange({ ...layer, ...change })
  return (
    <li className="layer-edit" aria-label={`Layer ${number}: ${layerKindInWords[layer.kind]}`}>
      <div className="layer-line">
        <span className="say num" aria-hidden="true">
          {number}
        </span>
        <label className="field">
          <span>Layer</span>
          <select
            className="select"
            value={layer.kind}
            onChange={(event) => set({ kind: LayerKind.parse(event.target.value) })}
          >
            {LayerKind.options.map((kind) => (
              <option key={kind} value={kind}>
                {layerKindInWords[kind]}
              </option>
            ))}
          </select>
        </label>
        <label className="field">
          <span>{layer.kind === 'ground' ? 'Which ground' : 'Name, if it has one'}</span>
          <input
            className="input"
            value={layer.name}
            placeholder={namePlaceholder[layer.kind] ?? ''}
            list={layer.kind === 'ground' ? known : undefined}
            onChange={(event) => set({ name: event.target.value })}
          />
          {layer.kind === 'ground' ? (
            <datalist id={known}>
              {grounds.map((ground) => (
                <option key={ground} value={ground}>
                  {ground}
                </option>
              ))}
            </datalist>
          ) : null}
        </label>
        <div className="coats-edit">
          <NumberField
            label="Coats"
            value={layer.coats}
            min={0}
            max={60}
            onValue={(coats) => set({ coats: coats ?? 0 })}
          />
          <button
            type="button"
            className="btn"
            aria-label="One coat less"
            onClick={() => set({ coats: Math.max(0, layer.coats - 1) })}
          >
            −
          </button>
          <button
            type="button"
            className="btn"
            aria-label="One coat more"
            onClick={() => set({ coats: Math.min(60, layer.coats + 1) })}
          >
            +
          </button>
        </div>
        <div className="layer-acts">
          <button
            type="button"
            className="btn"
            aria-label="Sprayed earlier"
            disabled={number === 1}
            onClick={() => onMove(-1)}
          >
            ↑
          </button>
          <button
            type="button"
            className="btn"
            aria-label="Sprayed later"
            disabled={number === count}
            onClick={() => onMove(1)}
          >
            ↓
          </button>
          <button type="button" className="btn" aria-label={`Remove layer ${number}`} onClick={onRemove}>
            <span className="cross">
              <Cross />
            </span>
          </button>
        </div>
      </div>
      <MixtureEditor
        mixture={layer.mixture}
        layerKind={layer.kind}
        onMixture={(mixture, coats) => set(coats === null ? { mixture } : { mixture, coats })}
      />
      <HowItWentOn layer={layer} onChange={set} />
    </li>
  )
}
