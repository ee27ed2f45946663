import type { CustomerJob, CustomerJobStatus } from '../../../../shared-core/records/customer-job.ts'
import { leaveJob } from '../../../commands/jobs/leave-job.ts'
import { mixForJob } from '../../../commands/jobs/mix-for-job.ts'
import { printJobSheet } from '../../../commands/jobs/print-job-sheet.ts'
import { ChangeFields } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { ArrowBack } from '../../../parts/icons.tsx'
import { changeJob, flushJob, useSavedWord } from '../../../state/job-edits.ts'
import { useStore } from '../../../state/store.ts'
import { dueInWords, localDay, statusInWords } from '../job-words.ts'
import { TextField } from '../text-field.tsx'

/** What the job is, whose, until when; everything typed below is stored by itself. */
export function JobHead({ job }: { job: CustomerJob }) {
  return (
    <header className="job-head">
      <button type="button" className="btn" onClick={() => void leaveJob.run(useStore.getState())}>
        <ArrowBack />
        Jobs
      </button>
      <h1 className="title">
        <b className="num">{job.code}</b> {job.title}
      </h1>
      <p className="fine">
        {[job.customer, statusInWords[job.status], dueInWords(job, localDay())].filter(Boolean).join(' · ')}
        <SavedWord jobId={job.id} />
      </p>
      <div className="job-head-acts">
        <CommandButton command={printJobSheet} />
        <CommandButton command={mixForJob} look="main" />
      </div>
    </header>
  )
}

function SavedWord({ jobId }: { jobId: string }) {
  const word = useSavedWord(jobId)
  return (
    <span className="job-saved" role="status">
      {word === 'Not saved' ? (
        <button type="button" className="btn plain" onClick={() => void flushJob(jobId)}>
          Not saved: save again
        </button>
      ) : (
        <b>{word}</b>
      )}
    </span>
  )
}

/** Name, customer, day, state and notes. */
export function JobFacts({ job }: { job: CustomerJob }) {
  return (
    <div className="job-facts">
      <TextField
        label="What is painted"
        needed
        value={job.title}
        maxLength={200}
        onValue={(title) => changeJob(job.id, { title })}
      />
      <TextField
        label="Customer"
        value={job.customer}
        maxLength={200}
        onValue={(customer) => changeJob(job.id, { customer })}
      />
      <TextField
        label="Due"
        type="date"
        value={job.dueOn ?? ''}
        onValue={(dueOn) => changeJob(job.id, { dueOn: dueOn || null })}
      />
      <label className="field">
        <span>State</span>
        <ChangeFields>
          <select
            className="select"
            value={job.status}
            onChange={(event) => changeJob(job.id, { status: event.target.value as CustomerJobStatus })}
          >
            {Object.entries(statusInWords).map(([status, words]) => (
              <option key={status} value={status}>
                {words}
              </option>
            ))}
          </select>
        </ChangeFields>
      </label>
      <div className="job-wide">
        <TextField
          label="Notes"
          lines={2}
          value={job.notes}
          maxLength={8000}
          onValue={(notes) => changeJob(job.id, { notes })}
        />
      </div>
    </div>
  )
}
