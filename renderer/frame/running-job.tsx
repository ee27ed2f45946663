import type { Job } from '../../shared-core/records/job.ts'
import { act } from '../state/asking.ts'
import { useStore } from '../state/store.ts'

/** The job that runs, how far it is, and a way to stop it. */
export function RunningJob() {
  const job = useStore((s) => {
    const running = Object.values(s.jobs).filter((j) => j.state === 'running')
    // a look through goes on for long, and waits for the others
    return running.find((j) => j.kind !== 'check') ?? running[0]
  })
  if (!job) return <div className="run" role="status" />
  const share = job.total === 0 ? 0 : job.done / job.total
  return (
    <div className="run" role="status">
      <div>
        <span className="fine">
          {job.stage || job.label}
          {job.total > 0 ? (
            <>
              , <b>{howFar(job)}</b>
            </>
          ) : null}
        </span>
        <div className="meter" aria-hidden="true">
          {Array.from({ length: 12 }, (_, i) => (
            <i key={i} className={i < Math.round(share * 12) ? 'on' : ''} />
          ))}
        </div>
      </div>
      <button type="button" className="btn plain" onClick={() => void act('jobs.cancel', { jobId: job.id })}>
        Stop
      </button>
    </div>
  )
}

/** More than a rack has of anything are bytes, which nobody counts. */
const mostCounted = 1_000_000

const howFar = ({ done, total }: Job): string =>
  total > mostCounted ? `${Math.floor((100 * done) / total)} %` : `${done} of ${total}`
