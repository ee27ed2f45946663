import './check.css'
import { useEffect, useEffectEvent, useState } from 'react'
import type { RepairPlan, RepairWay } from '../../../../shared-core/records/check.ts'
import { client } from '../../../client/client.ts'
import { Caution } from '../../../parts/caution.tsx'
import { Dialog } from '../../../parts/dialog.tsx'
import { act, refreshRack } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { RepairWays } from './repair-ways.tsx'

type From = RepairWay['from']

async function planFor(folder: string): Promise<RepairPlan | null> {
  const answer = await client().call('check.repairPlan', { folder })
  return answer.ok ? answer.value.plan : null
}

/** A rack that cannot be opened: looks at what is there, lets choose where that is needed, and opens it repaired. */
export function RepairDialog({ folder, onClose }: { folder: string; onClose: () => void }) {
  const [jobId, setJobId] = useState<string | null>(null)
  const [plan, setPlan] = useState<RepairPlan | null>(null)
  const [failed, setFailed] = useState<{ message: string; remedy: string } | null>(null)
  const job = useStore((s) => (jobId === null ? undefined : s.jobs[jobId]))
  const state = job?.state

  const ended = useEffectEvent(onClose)

  // what was found earlier and waits for a choice
  useEffect(() => {
    let here = true
    void planFor(folder).then((found) => {
      if (here && found?.choice) setPlan(found)
    })
    return () => {
      here = false
    }
  }, [folder])
  useEffect(() => {
    if (jobId === null || state === undefined || state === 'running') return
    let here = true
    void planFor(folder).then(async (found) => {
      // the rack is open: what became of it is told there, as this sheet may be gone by now with the start page
      if (!found && state === 'done') {
        await refreshRack()
        if (here) ended()
        return
      }
      // told here, and not once more below
      useStore.getState().putAwayJob(jobId)
      if (here) setPlan(found?.choice ? found : null)
    })
    return () => {
      here = false
    }
  }, [folder, jobId, state])

  const repair = async (from: From | null) => {
    setFailed(null)
    const answer = await client().call('check.repair', { folder, from })
    if (answer.ok) {
      setPlan(null)
      setJobId(answer.value.jobId)
    } else setFailed(answer.error)
  }
  const error = failed ?? (state === 'failed' ? (job?.error ?? null) : null)
  return (
    <Dialog title="Repair this rack" onClose={onClose}>
      <div className="check-repair">
        {state === 'running' ? (
          <div className="check-running" role="status">
            <p>
              <b className="num">{`${job?.done ?? 0} of ${job?.total ?? 0}`}</b> {job?.stage || job?.label}
            </p>
            <progress max={Math.max(1, job?.total ?? 1)} value={job?.done ?? 0} aria-label="How far the repair is" />
            <button type="button" className="btn" onClick={() => void act('jobs.cancel', { jobId: job?.id ?? '' })}>
              Stop
            </button>
          </div>
        ) : plan ? (
          <RepairWays plan={plan} onTake={(from) => void repair(from)} onClose={onClose} />
        ) : (
          <Before
            folder={folder}
            wasStopped={state === 'cancelled'}
            onRepair={() => void repair(null)}
            onClose={onClose}
          />
        )}
        {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      </div>
    </Dialog>
  )
}

type BeforeProps = { folder: string; wasStopped: boolean; onRepair: () => void; onClose: () => void }

function Before({ folder, wasStopped, onRepair, onClose }: BeforeProps) {
  return (
    <>
      {wasStopped ? <p role="status">Stopped. Nothing of the rack was changed.</p> : null}
      <p className="check-folder">{folder}</p>
      <dl className="check-said">
        <dt>What happens</dt>
        <dd>
          The records are looked at as they are, then the newest good backup, then what can still be read of the damaged
          file. The best of it takes its place. Where that is not certain, you are asked first.
        </dd>
        <dt>What is safe</dt>
        <dd>
          Your photos are separate files and are not touched. The damaged file is kept among the backups, whatever takes
          its place.
        </dd>
        <dt>What to do</dt>
        <dd>If the drive itself is failing, copy the whole folder to another drive first, and repair the copy.</dd>
      </dl>
      <div className="check-acts">
        <button type="button" className="btn main" onClick={onRepair}>
          Repair it
        </button>
        <button type="button" className="btn plain" onClick={onClose}>
          Not now
        </button>
      </div>
    </>
  )
}
