import type { Job } from '../../../../shared-core/records/job.ts'
import { act } from '../../../state/asking.ts'

/** A job of this page while it runs. */
export function JobProgress({ job, fallback }: { job: Job | undefined; fallback: string }) {
  const share = job && job.total > 0 ? job.done / job.total : 0
  return (
    <div className="archive-progress">
      <p role="status">{job?.stage || fallback}</p>
      <progress max={1} value={share} aria-label="How far it is" />
      <button
        type="button"
        className="btn"
        onClick={() => (job ? void act('jobs.cancel', { jobId: job.id }) : undefined)}
      >
        Stop
      </button>
    </div>
  )
}
