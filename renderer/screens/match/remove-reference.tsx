import { useEffect, useEffectEvent } from 'react'
import type { Reference } from '../../../shared-core/records/reading.ts'
import { Dialog } from '../../parts/dialog.tsx'
import { act, useAnswer } from '../../state/asking.ts'
import { forgetOnTable } from '../../state/match-table.ts'
import { useStore } from '../../state/store.ts'

/** Asks first where jobs are matched to it, and names them; otherwise it is simply removed, with an undo. */
export function RemoveReference({ reference, onDone }: { reference: Reference; onDone: () => void }) {
  const { id, name } = reference
  const { value, error } = useAnswer('customerJobs.list', { open: false })
  const jobs = value?.jobs.filter((job) => job.referenceId === id)
  const remove = async () => {
    onDone()
    if (!(await act('references.remove', { referenceId: id }))) return
    forgetOnTable(id)
    useStore.getState().say(`Removed ${name}.`, 'Undo brings it back.')
  }
  const known = jobs !== undefined || error !== null
  const count = jobs?.length ?? 0
  const atOnce = useEffectEvent(() => {
    if (known && count === 0) void remove()
  })
  useEffect(() => atOnce(), [known])
  if (!jobs || count === 0) return null
  return (
    <Dialog title={`Remove ${name}?`} onClose={onDone}>
      <p>{count === 1 ? 'A job is matched to it:' : `${count} jobs are matched to it:`}</p>
      <ul className="match-remove">
        {jobs.map((job) => (
          <li key={job.id}>
            <b className="num">{job.code}</b> {[job.title, job.customer].filter(Boolean).join(', ')}
            {job.status === 'closed' ? ' (closed)' : ''}
          </li>
        ))}
      </ul>
      <p>Without it their check panels have nothing to be compared with. Undo brings it back.</p>
      <p className="match-acts">
        <button type="button" className="btn main" onClick={onDone}>
          Leave it
        </button>
        <button type="button" className="btn" onClick={() => void remove()}>
          Remove it all the same
        </button>
      </p>
    </Dialog>
  )
}
