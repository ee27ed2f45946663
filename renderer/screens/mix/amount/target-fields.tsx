import { namedOnce, onShelf } from '../../../../shared-core/mix/shelf-facts.ts'
import { formatQuantity } from '../../../../shared-core/mix/units.ts'
import type { Material, Mixture } from '../../../../shared-core/records/mixture.ts'
import { NumberField } from '../../../parts/number-field.tsx'
import { QuantityField } from '../../../parts/quantity-field.tsx'
import { changeHabits, type MixDraft, type MixHabits, type TargetKind } from '../../../state/mix-draft.ts'
import type { Wording } from '../say-amounts.ts'

export type FormProps = {
  mixture: Mixture
  draft: MixDraft
  habits: MixHabits
  materials: readonly Material[]
  words: Wording
  onDraft: (change: Partial<MixDraft>) => void
}

const kinds: readonly { kind: TargetKind; label: string }[] = [
  { kind: 'volume', label: 'Volume' },
  { kind: 'mass', label: 'Mass' },
  { kind: 'left', label: 'What is left' },
  { kind: 'cups', label: 'Cups' },
  { kind: 'surface', label: 'A surface' },
]

/** What the size goes by. */
export function TargetFields(props: FormProps & { hasParts: boolean }) {
  const { draft, habits, onDraft } = props
  return (
    <fieldset className="mix-set">
      <legend>Mix by</legend>
      <div className="pair mix-kinds" role="group" aria-label="The size goes by">
        {kinds.map(({ kind, label }) => (
          <button
            key={kind}
            type="button"
            aria-pressed={draft.target === kind}
            onClick={() => onDraft({ target: kind })}
          >
            {label}
          </button>
        ))}
      </div>
      <div className="mix-fields">
        {draft.target === 'volume' ? (
          <QuantityField
            label="Ready to spray, in all"
            measure="volume"
            value={draft.volumeMl}
            onValue={(volumeMl) => onDraft({ volumeMl })}
          />
        ) : null}
        {draft.target === 'mass' ? (
          <QuantityField
            label="Ready to spray, in all"
            measure="mass"
            value={draft.massG}
            onValue={(massG) => onDraft({ massG })}
          />
        ) : null}
        {draft.target === 'left' ? <LeftFields {...props} /> : null}
        {draft.target === 'cups' ? (
          <>
            <NumberField
              label="Cups"
              value={draft.cupCount}
              min={1}
              max={40}
              digits={0}
              onValue={(count) => onDraft({ cupCount: count === null ? null : Math.round(count) })}
            />
            <QuantityField
              label="A cup holds, to the brim"
              measure="volume"
              value={habits.cupMl}
              onValue={(cupMl) => changeHabits({ cupMl })}
            />
            <NumberField
              label="Filled to, %"
              value={draft.fillPercent}
              min={5}
              max={100}
              digits={0}
              onValue={(fillPercent) => onDraft({ fillPercent })}
            />
          </>
        ) : null}
      </div>
    </fieldset>
  )
}

function LeftFields({ mixture, draft, materials, words, onDraft }: FormProps) {
  const { left } = draft
  const names = namedOnce(mixture)
  const chosen = names.find(({ name }) => name === left.name)
  const counted = chosen && onShelf(materials, chosen)?.onHand
  const basis = left.amount === null && counted ? counted.basis : left.basis
  return (
    <>
      <label className="field">
        <span>Use up</span>
        <select
          className="select"
          value={left.name ?? ''}
          onChange={(event) => {
            const next = names.find(({ name }) => name === event.target.value)
            const onHand = next && onShelf(materials, next)?.onHand
            onDraft({ left: { name: next?.name ?? null, basis: onHand?.basis ?? left.basis, amount: null } })
          }}
        >
          <option value="">Choose an ingredient</option>
          {names.map(({ name }) => (
            <option key={name}>{name}</option>
          ))}
        </select>
      </label>
      <QuantityField
        label={counted && left.amount === null ? 'Left of it, from the shelf' : 'Left of it'}
        measure={basis === 'volume' ? 'volume' : 'mass'}
        value={left.amount ?? counted?.amount ?? null}
        onValue={(amount) => onDraft({ left: { ...left, basis, amount } })}
      />
      <div className="pair" role="group" aria-label="It is given by">
        {(['volume', 'mass'] as const).map((each) => (
          <button
            key={each}
            type="button"
            aria-pressed={basis === each}
            onClick={() =>
              onDraft({ left: { ...left, basis: each, amount: counted?.basis === each ? null : left.amount } })
            }
          >
            By {each}
          </button>
        ))}
      </div>
      {counted && left.amount !== null ? (
        <p className="fine">
          The shelf says{' '}
          {formatQuantity(counted.amount, counted.basis === 'volume' ? 'volume' : 'mass', words.system, words.decimal)}.
          Empty the field to go by it.
        </p>
      ) : null}
    </>
  )
}
