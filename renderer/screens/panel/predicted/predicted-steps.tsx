import './predicted.css'
import type { PlanCell } from '../../../../shared-core/records/film.ts'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import { printPanelSprayList } from '../../../commands/panel/print-spray-list.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { beyondWords, isBeyond } from '../../../parts/film/film-words.ts'
import { NotAPanel } from '../../../parts/film/not-a-panel.tsx'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { labFigures } from '../../../parts/lab-figures.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayBound } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { useLong } from '../../../state/use-long.ts'
import { type PanelRecipe, recipeOfPanel } from './recipe-of-panel.ts'

/** What the steps of a planned panel should come out as. It stands where the photo will. */
export function PredictedSteps({ panel }: { panel: Panel }) {
  const { value } = useAnswer('film.describe', {})
  const recipe = value ? recipeOfPanel(panel, value.knows) : null
  return (
    <section className="panel-predicted" aria-label="Predicted">
      <div className="panel-predicted-head">
        <h2 className="railname">Predicted, step by step</h2>
        <CommandButton command={printPanelSprayList} />
      </div>
      {recipe?.ok === false ? (
        <p>
          <b>Nothing can be predicted of it.</b> {recipe.why}
        </p>
      ) : (
        <Steps panel={panel} recipe={recipe} />
      )}
    </section>
  )
}

type StepsProps = { panel: Panel; recipe: (PanelRecipe & { ok: true }) | null }

function Steps({ panel, recipe }: StepsProps) {
  const coats = [...new Set(panel.steps.map((step) => step.coats))].toSorted((a, b) => a - b)
  const { value, error } = useAnswer(
    'film.predictTable',
    recipe && { formula: recipe.formula, grounds: [recipe.ground.id], coats },
  )
  const long = useLong(value === undefined && error === null)
  if (error)
    return (
      <p>
        <b>{error.message}</b> {error.remedy}
      </p>
    )
  if (!value)
    return (
      <p className="fine" role="status">
        {long ? 'Learning from the panels of this rack…' : ''}
      </p>
    )
  const outside = [...new Set(value.cells.flatMap(({ prediction }) => prediction?.outside.words ?? []))]
  const known = value.cells.some(({ prediction }) => prediction !== null)
  return (
    <>
      <ol className="panel-predicted-steps">
        {value.cells.map((cell) => (
          <Step key={cell.coats} cell={cell} />
        ))}
      </ol>
      {known ? <p>{['The ± is of what this panel will read, nine times in ten.', ...outside].join(' ')}</p> : null}
      <p className="fine">
        <NotAPanel />
      </p>
    </>
  )
}

function Step({ cell: { coats, prediction, sprayed } }: { cell: PlanCell }) {
  const settings = useStore((s) => s.settings)
  const words = coatsInWords(coats)
  const already = [...new Set(sprayed.map(({ code }) => code))]
  const gamut = prediction ? gamutWord(prediction.lab) : null
  return (
    <li>
      {prediction ? (
        <Paint lab={prediction.lab} label={`${words}, predicted`} />
      ) : (
        <span className="paint none" role="img" aria-label={`${words}, not known`} />
      )}
      <div>
        <p>
          <b>{coats === 0 ? 'Bare' : words}</b>
          {prediction ? (
            <span className="num">{`, predicted ± ${sayBound(prediction.nextPanel90, settings)}`}</span>
          ) : (
            ', not known'
          )}
        </p>
        {prediction ? <p className="fine num">{labFigures(prediction.lab, settings)}</p> : null}
        {prediction && isBeyond(prediction) ? (
          <p className="panel-predicted-beyond">
            <SmallTriangle /> {beyondWords}
          </p>
        ) : null}
        {gamut ? <p className="fine">{gamut}</p> : null}
        {already.length > 0 ? (
          <p className="fine">
            Sprayed already:{' '}
            {already.slice(0, mostNamed).map((code, i) => (
              <span key={code}>
                {i > 0 ? ', ' : ''}
                <PanelLink code={code} />
              </span>
            ))}
            {already.length > mostNamed ? ` and ${already.length - mostNamed} more` : ''}
          </p>
        ) : null}
      </div>
    </li>
  )
}

/** Panels of the same recipe that are named. */
const mostNamed = 2
