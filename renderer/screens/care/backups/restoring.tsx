import './backups.css'
import type { Job } from '../../../../shared-core/records/job.ts'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'

/** While a rack is put back or made from copies, and none is open. */
export function Restoring({ job }: { job: Job }) {
  const share = job.total === 0 ? 0 : job.done / job.total
  return (
    <main className="restoring" aria-label="A backup is being put back">
      <h1 className="title">{job.label}</h1>
      <p className="lead" role="status">
        {job.stage === '' ? 'Beginning' : capitalised(job.stage)}
      </p>
      <progress max={1} value={share} aria-label="How far it is" />
      <p>Nothing that was there before is lost. If this computer stops now, the next opening goes on or undoes it.</p>
      <button type="button" className="btn" onClick={() => void act('jobs.cancel', { jobId: job.id })}>
        Stop
      </button>
    </main>
  )
}

const capitalised = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)

/** The job that works on records while no rack is open. */
export const useRestoring = (): Job | undefined =>
  useStore((s) => Object.values(s.jobs).find(({ kind, state }) => kind === 'restore' && state === 'running'))
