import { type FormEvent, useEffect, useId, useState } from 'react'
import type { ArchiveFacts } from '../../../../shared-core/records/archive.ts'
import { client } from '../../../client/client.ts'
import { FieldError, type Said } from '../../../parts/field-error.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { act, useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { FolderField } from '../../welcome/folder-field.tsx'
import { JobProgress } from './job-progress.tsx'
import { bytesWords, counted } from './words.ts'

type Props = {
  facts: ArchiveFacts
  jobId: string | null
  onBegun: (jobId: string) => void
  /** The archive is not what it was when it was looked at. */
  onPathRefused: (why: Said) => void
}

/** What is inside, and where it is to be unpacked to. */
export function UnpackForm({ facts, jobId, onBegun, onPathRefused }: Props) {
  const id = useId()
  const [typed, setTyped] = useState<string | null>(null)
  const [said, setSaid] = useState<Said | null>(null)
  const suggested = useAnswer('rack.suggestFolder', { name: facts.name }).value?.folder ?? ''
  const job = useStore((s) => (jobId === null ? undefined : s.jobs[jobId]))
  const putAway = useStore((s) => s.putAwayJob)
  const folder = typed ?? suggested
  const failed = job?.state === 'failed' ? job.id : undefined
  useEffect(() => {
    // said here: the frame need not say it once more
    if (failed !== undefined) putAway(failed)
  }, [failed, putAway])
  const unpack = async (event: FormEvent) => {
    event.preventDefault()
    if (job?.state === 'running') return
    setSaid(null)
    const answer = await client().call('archive.unpack', { path: facts.path, folder: folder.trim() })
    if (answer.ok) return onBegun(answer.value.jobId)
    const isFolder = answer.error.code.startsWith('rack/') || /^archive\/(no-room|busy)$/.test(answer.error.code)
    if (isFolder) setSaid(answer.error)
    else onPathRefused(answer.error)
  }
  return (
    <form
      className="archive-facts"
      aria-label={`What is inside “${facts.name}”`}
      noValidate
      onSubmit={(event) => void unpack(event)}
    >
      <Facts facts={facts} />
      <FolderField
        label="New folder for the rack"
        value={folder}
        onChange={setTyped}
        choose="Where the rack is to live"
        error={said}
      />
      {job?.state === 'running' ? (
        <JobProgress job={job} fallback="Unpacking" />
      ) : (
        <div className="archive-acts">
          <button type="submit" className="btn main">
            Unpack and open
          </button>
          <button type="button" className="btn plain" onClick={() => void act('archive.verify', { path: facts.path })}>
            Check every checksum
          </button>
        </div>
      )}
      <FieldError id={`${id}-failed`} said={job?.state === 'failed' ? job.error : null} />
    </form>
  )
}

function Facts({ facts }: { facts: ArchiveFacts }) {
  return (
    <div role="status">
      <p>
        <b>{facts.name}</b>
      </p>
      <p>{`${counted(facts.panels, 'panel')}, ${counted(facts.photos, 'photo')}, ${bytesWords(facts.byteCount)}, ${facts.history ? 'with' : 'without'} the history of changes.`}</p>
      <p className="fine">{`Made on ${sayDay(facts.madeAt)} by Overground ${facts.madeBy}. The list of files is complete; each file is looked at as it is unpacked.`}</p>
      {facts.ofThisRack ? <p className="fine">It was made of the rack that is open here, or of a copy of it.</p> : null}
      {facts.missing + facts.damaged > 0 ? (
        <p className="fine">{`When it was made, ${counted(facts.missing, 'original was', 'originals were')} not there and ${counted(facts.damaged, 'had', 'had')} been altered by a disk.`}</p>
      ) : null}
    </div>
  )
}
