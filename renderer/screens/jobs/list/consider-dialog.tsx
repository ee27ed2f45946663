import { type FormEvent, useState } from 'react'
import type { JobCandidate } from '../../../../shared-core/records/customer-job.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { type Considered, useJobDialogs } from '../../../state/job-dialogs.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { newId } from '../job-words.ts'
import { TextField } from '../text-field.tsx'
import { blankJob } from './blank-job.ts'

/** For which job a colour is considered: one that is open, or a new one. */
export function ConsiderDialog() {
  const considering = useJobDialogs((s) => s.considering)
  return considering ? <Consider key={considering.name} {...considering} /> : null
}

const ofNew = 'new'

function Consider({ name, candidate, referenceId }: Considered) {
  const { value } = useAnswer('customerJobs.list', { open: true })
  const tolerance = useStore((s) => s.settings.sameLimit)
  const jobs = value?.jobs ?? []
  const [chosen, setChosen] = useState<string | null>(null)
  const [note, setNote] = useState('')
  const [title, setTitle] = useState('')
  // the job for the same reference is the likeliest
  const likely = jobs.find((job) => referenceId !== null && job.referenceId === referenceId) ?? jobs[0]
  const jobId = chosen ?? likely?.id ?? ofNew
  const missing = jobId === ofNew && title.trim() === ''
  const close = () => useJobDialogs.setState({ considering: null })
  const submit = async (event: FormEvent) => {
    event.preventDefault()
    if (missing) return
    const done = await put(jobId, { ...candidate, id: newId(), note: note.trim() }, { title, tolerance, referenceId })
    if (!done) return
    close()
    if (jobId === ofNew) go({ at: 'jobs', key: done.code })
    else
      useStore
        .getState()
        .say(`${name} is considered for ${done.code} ${done.title}.`, 'It stands there under Reference.')
  }
  return (
    <Dialog title={`Consider ${name} for a job`} onClose={close}>
      <form className="jobs-new" onSubmit={(event) => void submit(event)}>
        <label className="field">
          <span>Job</span>
          <select className="select" value={jobId} onChange={(event) => setChosen(event.target.value)}>
            {jobs.map((job) => (
              <option key={job.id} value={job.id}>
                {[`${job.code} ${job.title}`, job.customer].filter(Boolean).join(', ')}
              </option>
            ))}
            <option value={ofNew}>A new job</option>
          </select>
        </label>
        {jobId === ofNew ? (
          <TextField
            label="What is painted"
            value={title}
            onValue={setTitle}
            hint="Tank and mudguards"
            maxLength={200}
          />
        ) : null}
        <TextField label="Note" value={note} onValue={setNote} hint="why it could be the one" maxLength={1000} />
        <p className="jobs-acts">
          <button type="submit" className="btn main" aria-disabled={missing}>
            {jobId === ofNew ? 'Begin the job with it' : 'Consider it'}
          </button>
          <button type="button" className="btn plain" onClick={close}>
            Cancel
          </button>
        </p>
      </form>
    </Dialog>
  )
}

type NewJob = { title: string; tolerance: number; referenceId: string | null }

/** Adds the candidate to the job, unless it stands there already. @returns the job; null after a failure */
async function put(jobId: string, candidate: JobCandidate, { title, tolerance, referenceId }: NewJob) {
  if (jobId === ofNew) {
    const draft = { ...blankJob(title.trim(), tolerance), referenceId, candidates: [candidate] }
    return (await act('customerJobs.save', { draft }))?.job ?? null
  }
  const found = await act('customerJobs.get', { key: jobId })
  if (!found) return null
  const { createdAt: _, ...job } = found.job
  const same = (each: JobCandidate) =>
    each.stepId === candidate.stepId && JSON.stringify(each.recipe) === JSON.stringify(candidate.recipe)
  const candidates = [
    ...job.candidates.filter((each) => !same(each)),
    { ...(job.candidates.find(same) ?? candidate), ...(candidate.note ? { note: candidate.note } : {}) },
  ]
  const draft = { ...job, candidates, referenceId: job.referenceId ?? referenceId }
  return (await act('customerJobs.save', { draft, from: job }))?.job ?? null
}
