import { ChangeFields } from '../../../parts/change-only.tsx'
import { sayBound } from '../../../parts/say-numbers.ts'
import { useAnswer } from '../../../state/asking.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { howRead } from '../../match/reading-words.ts'
import { useJobReference } from '../job-paint.ts'
import type { StepProps } from '../page/job-page.tsx'
import { StepFrame } from '../page/step-frame.tsx'
import { CandidateRow } from './candidate-row.tsx'

/** The colour that the customer wants, and what was considered for it. */
export function ReferenceStep({ job, change, step, number }: StepProps) {
  const settings = useStore((s) => s.settings)
  const lights = useStore((s) => s.lights)
  const references = useAnswer('references.list', {}).value?.references ?? []
  const wanted = useJobReference(job.referenceId)
  const reading = wanted?.reading
  return (
    <StepFrame step={step} number={number}>
      <div className="job-line">
        <label className="field job-grow">
          <span>Reference</span>
          <ChangeFields>
            <select
              className="select"
              value={job.referenceId ?? ''}
              onChange={(event) => change({ referenceId: event.target.value || null })}
            >
              <option value="">choose the colour wanted</option>
              {references.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
            </select>
          </ChangeFields>
        </label>
        {job.referenceId === null ? (
          <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: null })}>
            Add a reference in Match
          </button>
        ) : (
          <>
            <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: job.referenceId })}>
              Match it
            </button>
            <button
              type="button"
              className="btn"
              onClick={() => go({ at: 'plan', formula: null, referenceId: job.referenceId })}
            >
              Suggest for it in Plan
            </button>
          </>
        )}
      </div>
      {reading ? (
        <p className="fine">{`${howRead(reading, lights)}, ± ${sayBound(reading.bound90, settings)}.`}</p>
      ) : null}
      {wanted === null && job.referenceId !== null ? (
        <p>This reference is no longer in the rack. Choose another.</p>
      ) : null}
      {wanted && !reading ? (
        <p>{`${wanted.reference.name} has no colour yet: photograph it, or type its colour.`}</p>
      ) : null}
      <h3 className="railname">Considered</h3>
      {job.candidates.length === 0 ? (
        <p>
          Nothing yet. In Match press “Consider for a job” on a candidate, in Plan on a suggestion, or “Use in a job” on
          a panel: it then stands here with your note.
        </p>
      ) : (
        <ul className="job-list well">
          {job.candidates.map((candidate) => (
            <CandidateRow
              key={candidate.id}
              candidate={candidate}
              job={job}
              reference={reading?.lab ?? null}
              change={change}
            />
          ))}
        </ul>
      )}
    </StepFrame>
  )
}
