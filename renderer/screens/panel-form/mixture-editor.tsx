import { useMemo, useState } from 'react'
import { parseFormula } from '../../../shared-core/mix/formula.ts'
import { formulaInWords } from '../../../shared-core/mix/formula-words.ts'
import type { Mixture } from '../../../shared-core/records/mixture.ts'
import type { LayerKind } from '../../../shared-core/records/panel.ts'
import { Caution } from '../../parts/caution.tsx'
import { decimalSign } from '../../parts/say-numbers.ts'
import { useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { PartsEditor } from './parts-editor.tsx'

type Props = {
  mixture: Mixture | null
  layerKind: LayerKind
  /** @param coats the coats that stood in the typed formula, or null when it named none */
  onMixture: (mixture: Mixture | null, coats: number | null) => void
}

const example: Partial<Record<LayerKind, string>> = {
  candy: '4:1 copper + crimson, in 6:1 carrier, 4 coats',
  ground: '1:1 silver base + reducer',
  clear: '2:1 gloss clear + hardener',
  'mid-coat': '4:1 pearl base + carrier, 2 coats',
}

/** The formula of a layer: typed the way painters write it, or put together part by part. */
export function MixtureEditor({ mixture, layerKind, onMixture }: Props) {
  const { value } = useAnswer('materials.list', {})
  const decimal = useStore((s) => decimalSign(s.settings))
  const known = useMemo(() => (value?.materials ?? []).map(({ id, name, kind }) => ({ id, name, kind })), [value])
  const [text, setText] = useState('')
  const [byParts, setByParts] = useState(false)
  const read = text.trim() === '' ? null : parseFormula(text, { known, decimal })

  function type(next: string) {
    setText(next)
    const parsed = next.trim() === '' ? null : parseFormula(next, { known, decimal })
    if (parsed?.ok) onMixture(parsed.mixture, parsed.coats)
  }

  return (
    <div className="mixture-edit">
      <label className="field">
        <span>{mixture ? 'Type the formula anew' : 'Formula, as you would write it on the back'}</span>
        <input
          className="input"
          value={text}
          placeholder={example[layerKind] ?? '4:1:1 paint + hardener + reducer'}
          onChange={(event) => type(event.target.value)}
        />
      </label>
      {read && !read.ok ? <Caution message={read.message} remedy={read.remedy} /> : null}
      {mixture ? (
        <div className="mixture-said">
          <div>
            {formulaInWords(mixture, { decimal }).map((line) => (
              <p key={line}>{line}</p>
            ))}
          </div>
          <div className="pair" role="group" aria-label="Parts are meant by">
            {(['volume', 'mass'] as const).map((basis) => (
              <button
                key={basis}
                type="button"
                aria-pressed={mixture.basis === basis}
                onClick={() => onMixture(withBasis(mixture, basis), null)}
              >
                By {basis}
              </button>
            ))}
          </div>
          <button type="button" className="btn" aria-expanded={byParts} onClick={() => setByParts(!byParts)}>
            {byParts ? 'Close parts' : 'Change parts'}
          </button>
          <button
            type="button"
            className="btn plain"
            onClick={() => {
              setText('')
              onMixture(null, null)
            }}
          >
            No formula
          </button>
        </div>
      ) : (
        <button type="button" className="btn plain left" onClick={() => onMixture(firstMixture, null)}>
          Put it together part by part
        </button>
      )}
      {read?.ok && read.basisAssumed ? (
        <p className="fine">
          Nothing said volume or mass, so it is kept by volume. Change it beside the formula if it was weighed.
        </p>
      ) : null}
      {read?.ok ? read.warnings.map((warning) => <Caution key={warning} message={warning} />) : null}
      {mixture && byParts ? (
        <PartsEditor
          mixture={mixture}
          known={known.map((material) => material.name)}
          onMixture={(next) => onMixture(next, null)}
        />
      ) : null}
    </div>
  )
}

const firstMixture: Mixture = {
  name: '',
  basis: 'volume',
  parts: [
    { amount: 1, unit: 'parts', material: { id: null, name: 'Concentrate', kind: 'concentrate' }, mixture: null },
  ],
}

/** The whole formula, nested mixtures too, by volume or by mass. */
function withBasis(mixture: Mixture, basis: Mixture['basis']): Mixture {
  return {
    ...mixture,
    basis,
    parts: mixture.parts.map((part) => (part.mixture ? { ...part, mixture: withBasis(part.mixture, basis) } : part)),
  }
}
