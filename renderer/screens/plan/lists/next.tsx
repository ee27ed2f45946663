import type { FilmKnowledge, NextPanel, PlanFormula, PlannedPanel } from '../../../../shared-core/records/film.ts'
import type { PanelSummary } from '../../../../shared-core/records/panel.ts'
import { Caution } from '../../../parts/caution.tsx'
import { formulaInWords, groundName, stepsInWords } from '../../../parts/film/film-words.ts'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayBound } from '../../../parts/say-numbers.ts'
import { setPlan, usePlan } from '../../../state/plan.ts'
import { useLive } from '../../../state/plan-live.ts'
import { useStore } from '../../../state/store.ts'
import { useLong } from '../../../state/use-long.ts'
import { onList, putPanels, setSliders, titleOf } from '../acts.ts'

type Props = {
  formula: PlanFormula
  knows: FilmKnowledge
  /** Grounds of the table. */
  grounds: readonly string[]
  planned: readonly PanelSummary[]
}

const mostPanels = 4
const restMs = 400

/** The few panels that would teach most, about the table or about the whole rack. */
export function Next({ formula, knows, grounds, planned }: Props) {
  const nextAbout = usePlan((s) => s.nextAbout)
  const empty = formula.candies.length === 0
  const about = nextAbout === 'table' && !empty ? { formula, grounds: [...grounds] } : null
  const { value, error, busy } = useLive('film.planNext', { about, count: mostPanels }, restMs)
  const long = useLong(busy)
  const rows = (value?.panels ?? []).map((next) => {
    const panel: PlannedPanel = { ...next, title: titleOf(next.formula, knows) }
    return { next, panel, there: onList(panel, planned, knows) }
  })
  const open = rows.filter(({ there }) => there === undefined)
  return (
    <section className="block plan-next" aria-label="What to spray next" aria-busy={busy}>
      <h2>What to spray next</h2>
      <div className="pair" role="group" aria-label="Judged on">
        {(['table', 'rack'] as const).map((each) => (
          <button
            key={each}
            type="button"
            aria-pressed={nextAbout === each}
            onClick={() => setPlan({ nextAbout: each })}
          >
            {each === 'table' ? 'For this table' : 'For the whole rack'}
          </button>
        ))}
      </div>
      {long ? (
        <p role="status" className="fine">
          Computing…
        </p>
      ) : null}
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {value && rows.length === 0 ? <p>No panel would teach more than is known already.</p> : null}
      <ol>
        {rows.map((row, i) => (
          <NextRow key={i} number={i + 1} {...row} formula={formula} knows={knows} />
        ))}
      </ol>
      {open.length > 0 ? (
        <button type="button" className="btn" onClick={() => void putPanels(open.map(({ panel }) => panel))}>
          {open.length === 1 ? 'Put it on the list' : `Put all ${open.length} on the list`}
        </button>
      ) : null}
    </section>
  )
}

type RowProps = {
  number: number
  next: NextPanel
  panel: PlannedPanel
  there: PanelSummary | undefined
  formula: PlanFormula
  knows: FilmKnowledge
}

function NextRow({ number, next, panel, there, formula, knows }: RowProps) {
  const settings = useStore((s) => s.settings)
  const other = JSON.stringify(next.formula) !== JSON.stringify(formula)
  const [now, then] = [sayBound(next.boundNow, settings), sayBound(next.boundThen, settings)]
  const bounds = now === then ? `± ${now} becomes a trace smaller` : `± ${now} becomes ± ${then}`
  return (
    <li>
      <span className="plan-no" aria-hidden="true">
        {number}
      </span>
      <div>
        <p>
          <b>{`Over ${groundName(knows, next.ground)}, ${stepsInWords(next.coats)}`}</b>
        </p>
        {other ? <p>{formulaInWords(next.formula, knows, settings)}</p> : null}
        <p className="num">{`${next.of}: ${bounds}`}</p>
        <p className="fine">{next.why}</p>
        <p className="plan-links">
          {there ? (
            <span>
              On the list: <PanelLink code={there.code} />
            </span>
          ) : (
            <button type="button" className="btn plain" onClick={() => void putPanels([panel])}>
              Put on the list
            </button>
          )}
          {other ? (
            <button
              type="button"
              className="btn plain"
              onClick={() =>
                setSliders({ formula: next.formula, ground: next.ground, coats: Math.max(...next.coats) }, knows)
              }
            >
              Set the sliders
            </button>
          ) : null}
        </p>
      </div>
    </li>
  )
}
