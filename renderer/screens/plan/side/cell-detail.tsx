import { Fragment, useState } from 'react'
import { differenceCiede2000 } from '../../../../shared-core/colour/difference.ts'
import type {
  FilmKnowledge,
  PlanFormula,
  Prediction,
  RestsOn,
  SprayedCell,
} from '../../../../shared-core/records/film.ts'
import { Caution } from '../../../parts/caution.tsx'
import { formulaInWords, isBeyond, outsideTitle, overInWords } from '../../../parts/film/film-words.ts'
import { NotAPanel } from '../../../parts/film/not-a-panel.tsx'
import { TwoPaints } from '../../../parts/film/two-paints.tsx'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { labFigures } from '../../../parts/lab-figures.ts'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import type { CellAt } from '../../../state/plan.ts'
import { useLive } from '../../../state/plan-live.ts'
import { useStore } from '../../../state/store.ts'
import { plannedPanel, putPanels } from '../acts.ts'
import { shownStep } from '../table/table-cell.tsx'
import { NearOnRack } from './near-on-rack.tsx'

type Props = { cell: CellAt; formula: PlanFormula; knows: FilmKnowledge }

/** Long enough that the table is asked first while a slider moves. */
const restMs = 150

/** Everything known of the chosen cell. */
export function CellDetail({ cell, formula, knows }: Props) {
  const settings = useStore((s) => s.settings)
  const { value: newest, of, error, busy } = useLive('film.predict', { recipe: { formula, ...cell } }, restMs)
  // while a slider moves the figures before stay; those of another cell never do
  const value = of?.recipe.ground === cell.ground && of?.recipe.coats === cell.coats ? newest : undefined
  const over = overInWords(cell, knows)
  return (
    <section className="plan-cell-detail" aria-label="The chosen cell" aria-busy={busy}>
      <h2>{over.charAt(0).toUpperCase() + over.slice(1)}</h2>
      {cell.coats > 0 ? <p className="fine">{formulaInWords(formula, knows, settings)}</p> : null}
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {value && !error ? (
        <Known prediction={value.prediction} sprayed={value.sprayed} restsOn={value.restsOn} cell={cell} />
      ) : null}
      <Acts cell={cell} formula={formula} knows={knows} prediction={value && !error ? value.prediction : null} />
      <p className="fine">
        <NotAPanel short />
      </p>
    </section>
  )
}

type KnownProps = { prediction: Prediction; sprayed: readonly SprayedCell[]; restsOn: readonly RestsOn[]; cell: CellAt }

function Known({ prediction, sprayed, restsOn }: KnownProps) {
  const settings = useStore((s) => s.settings)
  const { lab, bound90, nextPanel90, outside } = prediction
  const step = shownStep(sprayed)
  const gamut = gamutWord(lab)
  return (
    <>
      <TwoPaints
        left={step?.cut ? { ...step, label: `${step.code}, as it was photographed` } : null}
        middle={step?.lab ? { lab: step.lab, label: `${step.code}, as it was read` } : null}
        right={{ lab, label: 'Predicted' }}
      />
      {step && (step.cut || step.lab) ? (
        <p className="fine">
          {`From the left: ${[step.cut ? 'photo in its own light' : '', step.lab ? 'read from it' : '', 'predicted'].filter(Boolean).join(', ')}.`}
        </p>
      ) : null}
      <p className="num">
        Lab (D50, 2°) <b>{labFigures(lab, settings)}</b>
      </p>
      <dl className="plan-bounds">
        <dt className="num">± {sayBound(bound90, settings)}</dt>
        <dd>what this formula gives</dd>
        <dt className="num">± {sayBound(nextPanel90, settings)}</dt>
        <dd>what your next panel will read</dd>
      </dl>
      <div>
        <p>
          {isBeyond(prediction) ? <SmallTriangle /> : null} <b>{outsideTitle(prediction)}</b>
        </p>
        {outside.words.map((words) => (
          <p key={words}>{words}</p>
        ))}
      </div>
      {gamut ? <p>{gamut}</p> : null}
      {sprayed.length > 0 ? <Sprayed sprayed={sprayed} prediction={prediction} /> : null}
      {restsOn.length > 0 ? (
        <p>
          <span className="fine">Rests most on </span>
          {[...new Set(restsOn.map(({ code }) => code))].slice(0, mostNamed).map((code, i) => (
            <Fragment key={code}>
              {i > 0 ? ' ' : ''}
              <PanelLink code={code} />
            </Fragment>
          ))}
        </p>
      ) : null}
    </>
  )
}

/** Panels that are named; a prediction rests a little on everything. */
const mostNamed = 5
/** Sprayed steps that are listed. */
const mostListed = 4

function Sprayed({ sprayed, prediction }: { sprayed: readonly SprayedCell[]; prediction: Prediction }) {
  const settings = useStore((s) => s.settings)
  return (
    <div>
      <p className="fine">{sprayed.length === 1 ? 'Sprayed once' : `Sprayed ${sprayed.length} times`}</p>
      <ul>
        {sprayed.slice(0, mostListed).map(({ stepId, code, lab, bound90 }) => (
          <li key={stepId}>
            <PanelLink code={code} />{' '}
            {lab === null
              ? 'not read yet'
              : `read ${sayNumber(differenceCiede2000(lab, prediction.lab), 1, settings)} from the prediction, ± ${sayBound(bound90 ?? 0, settings)}`}
          </li>
        ))}
      </ul>
      {sprayed.length > mostListed ? <p className="fine">and {sprayed.length - mostListed} more</p> : null}
    </div>
  )
}

function Acts({ cell, formula, knows, prediction }: Props & { prediction: Prediction | null }) {
  const [near, setNear] = useState(false)
  const ground = knows.grounds.find(({ id }) => id === cell.ground)
  const panel = plannedPanel(formula, ground, [cell.coats], knows)
  const strip = panel !== null && panel.coats.includes(0) && cell.coats > 0
  return (
    <>
      <div className="plan-acts">
        <button
          type="button"
          className="btn"
          aria-expanded={near}
          aria-disabled={prediction === null}
          onClick={() => setNear(!near && prediction !== null)}
        >
          Find near
        </button>
        <button
          type="button"
          className="btn"
          aria-disabled={panel === null}
          onClick={() => {
            if (panel) void putPanels([panel])
          }}
        >
          Put on the list
        </button>
      </div>
      {strip ? (
        <p className="fine">{`With a bare strip: ${ground?.name ?? 'this ground'} was never read bare under clear.`}</p>
      ) : null}
      {near && prediction ? <NearOnRack lab={prediction.lab} bound90={prediction.bound90} /> : null}
    </>
  )
}
