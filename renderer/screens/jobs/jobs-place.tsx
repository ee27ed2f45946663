import './jobs.css'
import { JobList } from './list/job-list.tsx'
import { JobPage } from './page/job-page.tsx'

/** Customers' work, from the reference to the painted part. @param jobKey a job's code or id; null: all of them */
export function JobsPlace({ jobKey }: { jobKey: string | null }) {
  return jobKey === null ? <JobList /> : <JobPage key={jobKey} jobKey={jobKey} />
}
