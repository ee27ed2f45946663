import { useState } from 'react'
import { client } from '../../client/client.ts'
import type { Said } from '../../parts/field-error.tsx'
import { act, useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { FolderField } from './folder-field.tsx'

const demonstrationName = 'Demonstration'

/** An invented workshop's rack, made on this computer. Opens by itself when it is ready. */
export function Demonstration() {
  const [typed, setTyped] = useState<string | null>(null)
  const [jobId, setJobId] = useState<string | null>(null)
  const [failed, setFailed] = useState<Said | null>(null)
  const suggested = useAnswer('rack.suggestFolder', { name: demonstrationName }).value?.folder ?? ''
  const job = useStore((s) =>
    jobId === null
      ? Object.values(s.jobs).find((j) => j.kind === 'demonstration' && j.state === 'running')
      : s.jobs[jobId],
  )
  const folder = typed ?? suggested
  const make = async () => {
    setFailed(null)
    const answer = await client().call('rack.makeDemonstration', { folder: folder.trim() })
    if (answer.ok) setJobId(answer.value.jobId)
    else setFailed(answer.error)
  }
  const running = job?.state === 'running'
  return (
    <section className="welcome-way block" aria-label="Look at a demonstration">
      <h2 className="railname">Look at a demonstration</h2>
      <p>
        An invented workshop: about 60 panels over five grounds, with photos and readings to search, match and print. It
        is a rack of its own; nothing in it touches yours.
      </p>
      <FolderField
        label="Where it lives"
        value={folder}
        onChange={setTyped}
        choose="Where the demonstration rack is to live"
        error={failed ?? (job?.state === 'failed' ? job.error : null)}
      />
      {running ? (
        <div className="welcome-progress">
          <p role="status">
            <b className="num">{`${job.done} of ${job.total}`}</b> {job.stage || job.label}
          </p>
          <progress max={Math.max(1, job.total)} value={job.done} aria-label="How far the demonstration rack is" />
          <button type="button" className="btn" onClick={() => void act('jobs.cancel', { jobId: job.id })}>
            Stop
          </button>
        </div>
      ) : (
        <button
          type="button"
          className="btn"
          aria-disabled={folder.trim() === ''}
          onClick={() => (folder.trim() === '' ? undefined : void make())}
        >
          Make the demonstration rack
        </button>
      )}
      {job?.state === 'cancelled' ? <p className="fine">Stopped. Nothing of it was opened.</p> : null}
    </section>
  )
}
