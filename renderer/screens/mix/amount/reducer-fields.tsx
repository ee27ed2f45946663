import { reducerOnTop } from '../../../../shared-core/mix/limits.ts'
import { namedOnce } from '../../../../shared-core/mix/shelf-facts.ts'
import { reducerLimits, reducerWarnings, tipClass } from '../../../../shared-core/mix/spray/gun-limits.ts'
import { formatShort } from '../../../../shared-core/mix/units.ts'
import { Caution } from '../../../parts/caution.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import type { FormProps } from './target-fields.tsx'

/** Reducer on top of everything, by gun and tip: it warns and never refuses. */
export function ReducerFields({ mixture, draft, materials, words, onDraft }: FormProps) {
  const offered = materials.filter(({ kind, onShelf }) => kind === 'reducer' && onShelf)
  const own = namedOnce(mixture).find(({ kind }) => kind === 'reducer')
  const percent = reducerOnTop(mixture)
  const id = draft.reducer?.id ?? own?.id ?? offered[0]?.id ?? null
  const limits = draft.tipMm === null ? null : reducerLimits[tipClass(draft.tipMm)]
  const warnings = reducerWarnings(mixture, draft.tipMm, words.decimal)
  return (
    <fieldset className="mix-set">
      <legend>Reducer on top</legend>
      {offered.length === 0 && !own ? (
        <p className="fine">No reducer is on the shelf. Add one there to thin by it.</p>
      ) : (
        <div className="mix-fields">
          <NumberField
            label="% of everything else"
            value={draft.reducer?.percent ?? (Number.isFinite(percent) ? percent : null)}
            min={0}
            max={60}
            digits={1}
            onValue={(value) => {
              if (id !== null) onDraft({ reducer: value === null ? null : { id, percent: value } })
            }}
          />
          <label className="field mix-wide">
            <span>Which</span>
            <select
              className="select"
              value={id ?? ''}
              onChange={(event) => onDraft({ reducer: { id: event.target.value, percent } })}
            >
              {own && !offered.some((each) => each.id === own.id) ? (
                <option value={own.id ?? ''}>{own.name}</option>
              ) : null}
              {offered.map((each) => (
                <option key={each.id} value={each.id}>
                  {each.name}
                </option>
              ))}
            </select>
          </label>
          {draft.reducer ? (
            <button type="button" className="btn plain" onClick={() => onDraft({ reducer: null })}>
              As the formula says
            </button>
          ) : null}
        </div>
      )}
      {limits && draft.tipMm !== null ? (
        <p className="fine">
          With a {formatShort(draft.tipMm, 2, words.decimal)} mm tip {limits.usual} % is usual, {limits.most} % the
          most.
        </p>
      ) : null}
      {warnings.map((warning) => (
        <Caution key={warning} message={warning} />
      ))}
    </fieldset>
  )
}
