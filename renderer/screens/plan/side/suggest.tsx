import type { FilmKnowledge, PlanFormula, Suggestion } from '../../../../shared-core/records/film.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { Caution } from '../../../parts/caution.tsx'
import { blendInWords, formulaInWords, isBeyond, overInWords } from '../../../parts/film/film-words.ts'
import { NotAPanel } from '../../../parts/film/not-a-panel.tsx'
import { TwoPaints } from '../../../parts/film/two-paints.tsx'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { consider } from '../../../state/job-dialogs.ts'
import { usePlan } from '../../../state/plan.ts'
import { useLive } from '../../../state/plan-live.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { useLong } from '../../../state/use-long.ts'
import { plannedPanel, putPanels, setSliders } from '../acts.ts'
import { ChooseReference } from './choose-reference.tsx'
import { Limits } from './limits.tsx'
import { useReference } from './use-reference.ts'

type Props = { formula: PlanFormula; knows: FilmKnowledge }

const mostSuggestions = 6
/** Long enough that a slider is let go first. */
const restMs = 300

/** Recipes that come near a reference, each a different idea. */
export function Suggest({ formula, knows }: Props) {
  const referenceId = usePlan((s) => s.referenceId)
  const wanted = useReference(referenceId)
  return (
    <section className="plan-suggest" aria-label="Suggest for a reference">
      <h2>Suggest for a reference</h2>
      <ChooseReference referenceId={referenceId} name={wanted?.name ?? null} />
      {wanted?.error ? <Caution message={wanted.error.message} remedy={wanted.error.remedy} /> : null}
      {wanted === null ? (
        <>
          <p>
            Choose the colour that somebody wants, and recipes that should come near it stand here, with what is on the
            shelf.
          </p>
          <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: null })}>
            Add a reference in Match
          </button>
        </>
      ) : null}
      {wanted && !wanted.error && wanted.reading === null ? (
        <Caution message={`${wanted.name} has no colour.`} remedy="Photograph it, or type its colour." />
      ) : null}
      {wanted?.reading ? <Limits formula={formula} knows={knows} /> : null}
      {wanted?.reading ? (
        <Suggestions
          key={wanted.reading.id}
          wanted={wanted.reading}
          name={wanted.name}
          formula={formula}
          knows={knows}
        />
      ) : null}
    </section>
  )
}

function Suggestions({ wanted, name, formula, knows }: Props & { wanted: Reading; name: string }) {
  const own = usePlan((s) => s.limits)
  const { reducerPercent, hardenerPercent, gunSetupId } = formula
  const limits = { ...own, reducerPercent, hardenerPercent, gunSetupId }
  const { value, error, busy } = useLive(
    'film.suggest',
    { readingId: wanted.id, limits, count: mostSuggestions },
    restMs,
  )
  const long = useLong(busy)
  return (
    <div aria-busy={busy}>
      <p role="status" className="fine">
        {long ? 'Computing…' : value ? consideredInWords(value.considered) : ''}
      </p>
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {value?.nothingNear ? <Caution message="Nothing comes near." remedy={value.nothingNear} /> : null}
      {value && value.suggestions.length === 0 && !value.nothingNear && !error ? (
        <p>Nothing can be suggested within these limits. Widen them, or put candies on the shelf.</p>
      ) : null}
      <ol className="plan-suggestions">
        {value?.suggestions.map((each) => (
          <SuggestionRow
            key={JSON.stringify(each.recipe)}
            each={each}
            wanted={wanted}
            name={name}
            formula={formula}
            knows={knows}
          />
        ))}
      </ol>
      {value && value.suggestions.length > 0 ? (
        <p className="fine">
          <NotAPanel short />
        </p>
      ) : null}
    </div>
  )
}

const consideredInWords = (considered: number): string =>
  considered === 0 ? '' : `The best of ${considered.toLocaleString()} ideas, each a different one.`

type RowProps = Props & { each: Suggestion; wanted: Reading; name: string }

function SuggestionRow({ each, wanted, name, formula, knows }: RowProps) {
  const settings = useStore((s) => s.settings)
  const { recipe, prediction, de00, differenceBound90, words, why, onShelf } = each
  const gamut = gamutWord(prediction.lab)
  const same = JSON.stringify(recipe.formula.candies) === JSON.stringify(formula.candies)
  const panel = plannedPanel(
    recipe.formula,
    knows.grounds.find(({ id }) => id === recipe.ground),
    [recipe.coats],
    knows,
  )
  const said = formulaInWords(recipe.formula, knows, settings)
  return (
    <li className="plan-suggestion" aria-label={`${said}, ${overInWords(recipe, knows)}`}>
      <TwoPaints
        left={{ lab: wanted.lab, label: `Reference: ${name}` }}
        right={{ lab: prediction.lab, label: 'Predicted' }}
      />
      <div>
        <p className="num">
          <b className="lead">{`${sayNumber(de00, 1, settings)} ± ${sayBound(differenceBound90, settings)}`}</b>{' '}
          {words.toLowerCase()}
        </p>
        <p>{same ? said.replace(blendInWords(recipe.formula, knows, settings), 'This blend') : said}</p>
        <p>{overInWords(recipe, knows)}</p>
        <p className="fine">
          {isBeyond(prediction) ? <SmallTriangle /> : null} {why}
          {onShelf ? '' : ' Not all of it is on the shelf.'}
          {gamut ? ` ${gamut}` : ''}
        </p>
        <p className="plan-links">
          <button type="button" className="btn plain" onClick={() => setSliders(recipe, knows)}>
            Set the sliders
          </button>
          <button
            type="button"
            className="btn plain"
            onClick={() => {
              if (panel) void putPanels([panel])
            }}
          >
            Put on the list
          </button>
          <button
            type="button"
            className="btn plain"
            onClick={() =>
              consider({
                name: `${blendInWords(recipe.formula, knows, settings)}, ${overInWords(recipe, knows)}`,
                candidate: { panelId: null, stepId: null, recipe },
                referenceId: wanted.referenceId,
              })
            }
          >
            Consider for a job
          </button>
        </p>
      </div>
    </li>
  )
}
