import { temperatureNote } from '../../../../shared-core/mix/cup/density.ts'
import { usualMeasuring } from '../../../../shared-core/mix/cup/measuring.ts'
import { flakeOf, namedOnce } from '../../../../shared-core/mix/shelf-facts.ts'
import { flakeTipWarning, tipForFlake } from '../../../../shared-core/mix/spray/gun-limits.ts'
import { formatShort } from '../../../../shared-core/mix/units.ts'
import { Caution } from '../../../parts/caution.tsx'
import { QuantityField } from '../../../parts/quantity-field.tsx'
import { changeHabits } from '../../../state/mix-draft.ts'
import type { NamedMeasuring } from './measuring-for.ts'
import type { FormProps } from './target-fields.tsx'

/** With what it is measured, in which cup, and through which tip it goes. */
export function MeasureFields({
  mixture,
  draft,
  habits,
  materials,
  words,
  measuredWith,
  onDraft,
}: FormProps & { measuredWith: NamedMeasuring }) {
  const { measuring } = measuredWith
  const refs = namedOnce(mixture)
  const hasFlake = refs.some(({ kind }) => kind === 'flake')
  const flakeUm = flakeOf(refs, materials)
  const blocked = hasFlake && draft.tipMm !== null ? flakeTipWarning(draft.tipMm, flakeUm, words.decimal) : null
  const note =
    draft.temperatureC !== null && measuring.by !== mixture.basis
      ? temperatureNote(draft.temperatureC, words.system, words.decimal)
      : null
  return (
    <fieldset className="mix-set">
      <legend>Measured with</legend>
      <div className="mix-fields">
        <label className="field mix-wide">
          <span>Scale or cup</span>
          <select
            className="select"
            value={measuredWith.title}
            onChange={(event) => changeHabits({ measure: event.target.value })}
          >
            {usualMeasuring.map(({ title }) => (
              <option key={title}>{title}</option>
            ))}
          </select>
        </label>
        {draft.target === 'cups' ? null : (
          <QuantityField
            label="Cup holds, to the brim"
            measure="volume"
            value={habits.cupMl}
            onValue={(cupMl) => changeHabits({ cupMl })}
          />
        )}
        <QuantityField
          label="Tip of the gun"
          measure="tip"
          value={draft.tipMm}
          onValue={(tipMm) => onDraft({ tipMm })}
        />
        {measuring.by !== mixture.basis ? (
          <QuantityField
            label="Temperature of the paint"
            measure="temperature"
            value={draft.temperatureC}
            onValue={(temperatureC) => onDraft({ temperatureC })}
          />
        ) : null}
      </div>
      {note ? <p className="fine">{note}</p> : null}
      {blocked ? <Caution message={blocked} /> : null}
      {hasFlake && draft.tipMm === null ? (
        <p className="fine">
          {flakeUm === null
            ? 'There is flake in it: say the tip, and its size on the shelf, to have them checked.'
            : `Its flake is ${flakeUm} µm: a tip of ${formatShort(tipForFlake(flakeUm), 2, words.decimal)} mm or larger is usual.`}
        </p>
      ) : null}
    </fieldset>
  )
}
