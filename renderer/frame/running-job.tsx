import { act } from '../state/asking.ts'
import { useStore } from '../state/store.ts'

/** The job that runs, how far it is, and a way to stop it. */
export function RunningJob() {
  const job = useStore((s) => Object.values(s.jobs).find((j) => j.state === 'running'))
  if (!job) return <div className="run" role="status" />
  const share = job.total === 0 ? 0 : job.done / job.total
  return (
    <div className="run" role="status">
      <div>
        <span className="fine">
          {job.stage || job.label}, <b>{`${job.done} of ${job.total}`}</b>
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
