import { useShallow } from 'zustand/react/shallow'
import { removeMark } from '../../../commands/tray/mark.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { labFigures } from '../../../parts/lab-figures.ts'
import { NumberField } from '../../../parts/number-field.tsx'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useStore } from '../../../state/store.ts'
import { nameOf } from '../desk/plates.tsx'
import { changeMarks, useDesk } from '../desk-state.ts'
import { areasOf, type BandsMark, type Mark, splitEvenly } from '../marks.ts'
import { setBands, setStep } from '../step-marks.ts'

/** The area that is worked on: its step, its colour with what went into ±, and how its outline is cut. */
export function ChosenMark() {
  const [marks, chosen, panel, reading, aim] = useDesk(
    useShallow((s) => [s.marks, s.chosen, s.panel, s.reading, s.aim]),
  )
  if (!chosen) return null
  if (chosen.key === 'card') {
    return (
      <section className="block tray-chosen" aria-label="Grey card">
        <h2>Grey card</h2>
        <CommandButton command={removeMark} />
      </section>
    )
  }
  const key = chosen.key
  const areas = areasOf(marks)
  const index = areas.findIndex((a) => a.mark === key && a.band === chosen.band)
  const here = areas[index]
  const mark = marks.list[key]
  if (!here || !mark) return null
  const coats = panel?.steps.find((s) => s.id === here.area.stepId)?.coats
  return (
    <section className="block tray-chosen" aria-label="Chosen area">
      <h2>{nameOf(here, index, coats)}</h2>
      {panel && aim === 'panel' ? (
        <label className="field">
          <span>Step that it shows</span>
          <select
            className="select"
            value={here.area.stepId ?? ''}
            onChange={(event) => changeMarks(setStep(marks, key, chosen.band, event.target.value || null))}
          >
            <option value="">not said yet</option>
            {panel.steps.map((step, i) => (
              <option key={step.id} value={step.id ?? ''}>
                {`Step ${i + 1}, ${coatsInWords(step.coats)}`}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <Colour result={reading?.results.length === areas.length ? reading.results[index] : undefined} />
      <Cutting mark={mark} markKey={key} />
      <CommandButton command={removeMark} />
    </section>
  )
}

type Result = NonNullable<ReturnType<typeof useDesk.getState>['reading']>['results'][number]

function Colour({ result }: { result: Result | undefined }) {
  const settings = useStore((s) => s.settings)
  if (result?.refused) {
    return (
      <p>
        <b>{result.refused.message}</b> {result.refused.remedy}
      </p>
    )
  }
  const colour = result?.colour
  if (!colour) return null
  return (
    <>
      <p className="num">
        Lab {labFigures(colour.lab, settings)} <b>± {sayNumber(colour.bound90, 1, settings)}</b>
      </p>
      <details>
        <summary>What went into ±</summary>
        <dl className="tray-parts">
          {colour.parts.map((part) => (
            <div key={part.cause}>
              <dt>{part.words}</dt>
              <dd className="num">{sayNumber(part.de00, 1, settings)}</dd>
            </div>
          ))}
        </dl>
        <p className="fine">dE00, nine of ten readings lie within. A photo is an estimate.</p>
      </details>
    </>
  )
}

/** How one outline is cut into bands, and which way they follow one another. */
function Cutting({ mark, markKey }: { mark: Mark; markKey: number }) {
  const marks = useDesk((s) => s.marks)
  if (mark.kind === 'round') return <p className="fine">A round area on a curved part: its bound is larger.</p>
  if (mark.kind === 'fade') return <p className="fine">A fade has no single colour: it is kept as a picture.</p>
  const change = (to: (m: BandsMark) => BandsMark) => changeMarks(setBands(marks, markKey, to))
  const count = mark.stepIds.length
  return (
    <div className="tray-cutting">
      <NumberField
        label="Cut into bands"
        value={count}
        min={1}
        max={40}
        digits={0}
        onValue={(value) => {
          if (value !== null && Number.isInteger(value) && value !== count) change((m) => splitEvenly(m, value))
        }}
      />
      {count > 1 ? (
        <>
          <button
            type="button"
            className="btn"
            onClick={() => change((m) => ({ ...m, run: m.run === 'down' ? 'right' : 'down' }))}
          >
            Turn the bands
          </button>
          <button
            type="button"
            className="btn"
            onClick={() =>
              change((m) => ({
                ...m,
                stepIds: m.stepIds.toReversed(),
                cuts: m.cuts.map((cut) => 1 - cut).toReversed(),
              }))
            }
          >
            Other way round
          </button>
        </>
      ) : null}
    </div>
  )
}
