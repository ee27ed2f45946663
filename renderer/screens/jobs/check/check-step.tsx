import { useState } from 'react'
import { noFilter } from '../../../../shared-core/records/panel.ts'
import { printCheckLabels } from '../../../commands/jobs/print-check-labels.ts'
import { ChangeButton, ChangeFields } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { useKept } from '../../../state/draft.ts'
import { flushJob } from '../../../state/job-edits.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { useJobReference } from '../job-paint.ts'
import { judgeWords } from '../job-words.ts'
import type { StepProps } from '../page/job-page.tsx'
import { StepFrame } from '../page/step-frame.tsx'
import { TextField } from '../text-field.tsx'
import { OutcomeRow } from './outcome-row.tsx'

/** Panels sprayed for this job before the part is, and how far each lies from the reference. */
export function CheckStep({ job, shown, change, step, number }: StepProps) {
  const reference = useJobReference(job.referenceId)
  const last = shown.outcomes.at(-1)
  const end = axisEnd(job.tolerance, shown.outcomes)
  return (
    <StepFrame step={step} number={number}>
      <div className="job-line">
        <div className="job-short">
          <ChangeFields>
            <NumberField
              label="Tolerance in dE00"
              value={job.tolerance}
              min={0.1}
              max={20}
              digits={2}
              onValue={(tolerance) => tolerance !== null && change({ tolerance })}
            />
          </ChangeFields>
        </div>
        <p className="fine job-grow">
          How far the check panel may lie from the reference. About 1 is seen when two panels touch; 2 is seen at a
          glance (common practice).
        </p>
      </div>
      {shown.outcomes.length > 0 ? (
        <>
          <ul className="job-outcomes well">
            {shown.outcomes.toReversed().map((outcome) => (
              <OutcomeRow
                key={outcome.checkId}
                outcome={outcome}
                check={job.checks.find(({ id }) => id === outcome.checkId)}
                reference={reference?.reading?.lab ?? null}
                tolerance={job.tolerance}
                end={end}
                onNote={(note) =>
                  change({ checks: job.checks.map((each) => (each.id === outcome.checkId ? { ...each, note } : each)) })
                }
                onTakeOff={() => change({ checks: job.checks.filter(({ id }) => id !== outcome.checkId) })}
              />
            ))}
          </ul>
          <p className="fine">{judgeWords}</p>
        </>
      ) : null}
      {last && !last.inOnePhoto ? (
        <div className="job-ask">
          <p>
            <b>Lay the check panel and the reference side by side in one photo, with the grey card.</b> What the light
            and the camera do to both is then the same, and falls out of the difference: the ± gets smaller.
          </p>
          <p className="fine">
            File that photo to the check panel. Then open it once more by “Change its areas” on the panel’s page, mark
            the reference in it, and file it as another reading of this job’s reference.
          </p>
          <button type="button" className="btn" onClick={() => go({ at: 'tray', photoId: null })}>
            Photograph it: go to the Tray
          </button>
        </div>
      ) : null}
      <AddCheck job={job} label={shown.outcomes.length > 0 ? 'Add another check panel' : 'Add a check panel'} />
      {shown.outcomes.length > 0 ? (
        <p className="jobs-acts">
          <CommandButton command={printCheckLabels} />
        </p>
      ) : null}
    </StepFrame>
  )
}

/** The end of the axis that all rows share, in dE00. */
function axisEnd(tolerance: number, outcomes: StepProps['shown']['outcomes']): number {
  const reach = outcomes.map(({ de00, bound90 }) => (de00 === null ? 0 : de00 + (bound90 ?? 0)))
  return Math.min(Math.max(2 * tolerance, ...reach), 12)
}

const ofFormula = ''
/** The panels sprayed last: a check panel is a fresh one. */
const offered = 400

function AddCheck({ job, label }: { job: StepProps['job']; label: string }) {
  const { value } = useAnswer('panels.list', { filter: noFilter, sort: 'date', limit: offered })
  const panels = (value?.panels ?? []).filter(({ id }) => !job.checks.some(({ panelId }) => panelId === id))
  const [panelId, setPanelId] = useState(ofFormula)
  const [note, setNote] = useKept(`check ${job.id}`)
  const missing = job.formula === null && panelId === ofFormula
  const add = async () => {
    if (missing) {
      useStore
        .getState()
        .say('The job has no formula yet.', 'Choose it above, or take a panel that is sprayed already.')
      return
    }
    await flushJob(job.id)
    const done = await act('customerJobs.addCheck', {
      customerJobId: job.id,
      panelId: panelId || null,
      note: note.trim(),
    })
    if (!done) return
    setNote('')
    setPanelId(ofFormula)
  }
  return (
    <div className="job-line">
      <ChangeFields>
        <label className="field">
          <span>Check panel</span>
          <select className="select" value={panelId} onChange={(event) => setPanelId(event.target.value)}>
            <option value={ofFormula}>a new one of the formula</option>
            {panels.map(({ id, code, title }) => (
              <option key={id} value={id}>
                {`${code} ${title}`.trim()}
              </option>
            ))}
          </select>
        </label>
      </ChangeFields>
      <div className="job-grow">
        <TextField label="Note" value={note} maxLength={1000} onValue={setNote} hint="second cup, one coat more …" />
      </div>
      <ChangeButton type="button" className="btn" aria-disabled={missing} onClick={() => void add()}>
        {label}
      </ChangeButton>
    </div>
  )
}
