import { useShallow } from 'zustand/react/shallow'
import { removeMark } from '../../../commands/tray/mark.ts'
import { ChangeFields } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { nameOf } from '../desk/plates.tsx'
import { changeMarks, useDesk } from '../desk-state.ts'
import { areasOf, type BandsMark, type Mark, splitEvenly } from '../marks.ts'
import { setBands, setStep } from '../step-marks.ts'
import { ChosenKnown } from './chosen-known.tsx'
import { AreaColour } from './reading/area-colour.tsx'

/** The mark that is worked on: an area's step, colour and cuts, or what is known of card, tile and chart. */
export function ChosenMark() {
  const [marks, chosen, panel, reading, aim] = useDesk(
    useShallow((s) => [s.marks, s.chosen, s.panel, s.reading, s.aim]),
  )
  if (!chosen) return null
  if (typeof chosen.key === 'string') return <ChosenKnown key={chosen.key} markKey={chosen.key} />
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
          <ChangeFields>
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
          </ChangeFields>
        </label>
      ) : null}
      <AreaColour result={reading?.results.length === areas.length ? reading.results[index] : undefined} />
      <ChangeFields>
        <Cutting mark={mark} markKey={key} />
      </ChangeFields>
      <CommandButton command={removeMark} />
    </section>
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
