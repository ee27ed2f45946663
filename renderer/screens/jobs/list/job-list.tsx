import './list.css'
import { useState } from 'react'
import { newJob } from '../../../commands/jobs/new-job.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { hasKept } from '../../../state/draft.ts'
import { useJobDialogs } from '../../../state/job-dialogs.ts'
import { go } from '../../../state/router.ts'
import { JobCard } from './job-card.tsx'

/** Every job as a card: the open ones, and those that are closed when asked for. */
export function JobList() {
  const [closed, setClosed] = useState(false)
  const { value, error } = useAnswer('customerJobs.list', { open: false })
  if (error)
    return (
      <main className="jobs-absent" aria-label="Jobs">
        <Caution message={error.message} remedy={error.remedy} />
      </main>
    )
  if (!value) return <main className="jobs-absent" aria-label="Jobs" aria-busy="true" />
  if (value.jobs.length === 0) return <NoJobs />
  const open = value.jobs.filter(({ status }) => status !== 'closed')
  const done = value.jobs.filter(({ status }) => status === 'closed')
  return (
    <main className="jobs scroll" aria-label="Jobs">
      <header className="jobs-head">
        <h1 className="title">Jobs</h1>
        <p>{open.length === 1 ? '1 open' : `${open.length} open`}</p>
        {done.length > 0 ? (
          <label className="check push">
            <input type="checkbox" checked={closed} onChange={(event) => setClosed(event.target.checked)} />
            {done.length === 1 ? 'Show the closed one' : `Show the ${done.length} closed ones`}
          </label>
        ) : null}
        <div className={done.length > 0 ? '' : 'push'}>
          <CommandButton command={newJob} look="main" />
        </div>
      </header>
      <KeptJob />
      {open.length === 0 ? <p className="lead">No job is open.</p> : null}
      <ul className="jobs-cards">
        {open.map((job) => (
          <JobCard key={job.id} job={job} />
        ))}
      </ul>
      {closed && done.length > 0 ? (
        <section aria-labelledby="jobs-closed">
          <h2 className="railname jobs-rail" id="jobs-closed">
            Closed
          </h2>
          <ul className="jobs-cards">
            {done.map((job) => (
              <JobCard key={job.id} job={job} />
            ))}
          </ul>
        </section>
      ) : null}
    </main>
  )
}

/** What was typed for a job that was not begun is in its sheet, which a reload closed. */
function KeptJob() {
  useJobDialogs((s) => s.beginning)
  if (!hasKept('new-job')) return null
  return <p className="fine jobs-kept">What you typed for a new job is kept: “New job” shows it again.</p>
}

function NoJobs() {
  return (
    <main className="jobs jobs-none scroll" aria-label="Jobs">
      <h1 className="title">No job yet</h1>
      <p className="lead">
        A job keeps what a customer’s part needs together, from the colour wanted to the coats sprayed.
      </p>
      <ol>
        <li>
          <b>Begin with the customer’s colour</b>
          <span>A reference: photographed beside the grey card, measured, or typed.</span>
        </li>
        <li>
          <b>Take the nearest panel’s formula</b>
          <span>From Match, from Plan, or written down as you would on the back of a panel.</span>
        </li>
        <li>
          <b>Mix what the surface needs, and spray a check panel first</b>
          <span>
            Photograph it together with the reference: the job says how far apart they are, and what to change.
          </span>
        </li>
        <li>
          <b>Keep how the part was sprayed</b>
          <span>A touch-up years later starts there.</span>
        </li>
      </ol>
      <KeptJob />
      <p className="jobs-acts">
        <CommandButton command={newJob} look="main" />
        <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: null })}>
          Add a reference in Match
        </button>
      </p>
    </main>
  )
}
