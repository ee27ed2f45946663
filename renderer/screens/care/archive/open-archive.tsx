import './archive.css'
import { type FormEvent, useId, useState } from 'react'
import type { ArchiveFacts } from '../../../../shared-core/records/archive.ts'
import { client } from '../../../client/client.ts'
import { FieldError, type Said } from '../../../parts/field-error.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { act, useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { FolderField } from '../../welcome/folder-field.tsx'
import { JobProgress } from './job-progress.tsx'
import { PathField } from './path-field.tsx'
import { bytesWords, counted } from './words.ts'

/** A rack made of an archive, in a folder of its own. Also where no rack is open. @param className of its section */
export function OpenArchive({ className = 'block archive-block' }: { className?: string }) {
  const id = useId()
  const [path, setPath] = useState('')
  const [facts, setFacts] = useState<ArchiveFacts | null>(null)
  const [said, setSaid] = useState<{ where: 'path' | 'folder'; what: Said } | null>(null)
  const [typed, setTyped] = useState<string | null>(null)
  const [jobId, setJobId] = useState<string | null>(null)
  const [busy, setBusy] = useState(false)
  const suggested = useAnswer('rack.suggestFolder', facts ? { name: facts.name } : null).value?.folder ?? ''
  const job = useStore((s) => (jobId === null ? undefined : s.jobs[jobId]))
  const folder = typed ?? suggested
  const look = async (which: string) => {
    setSaid(null)
    setBusy(true)
    const answer = await client().call('archive.inspect', { path: which })
    setBusy(false)
    if (answer.ok) setFacts(answer.value.archive)
    else setSaid({ where: 'path', what: answer.error })
  }
  const choose = (which: string) => {
    setPath(which)
    setFacts(null)
    setJobId(null)
    if (which.endsWith('.zip')) void look(which.trim())
  }
  const submit = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    if (path.trim() === '')
      return setSaid({
        where: 'path',
        what: { message: 'No archive is named.', remedy: 'Choose the file, or write where it lies.' },
      })
    if (!facts) return look(path.trim())
    const answer = await client().call('archive.unpack', { path: facts.path, folder: folder.trim() })
    if (answer.ok) return setJobId(answer.value.jobId)
    const isFolder = answer.error.code.startsWith('rack/') || answer.error.code === 'archive/no-room'
    setSaid({ where: isFolder ? 'folder' : 'path', what: answer.error })
  }
  const at = (where: 'path' | 'folder') => (said?.where === where ? said.what : null)
  return (
    <form className={className} aria-labelledby={`${id}-head`} noValidate onSubmit={(event) => void submit(event)}>
      <h2 id={`${id}-head`} className={className.includes('welcome') ? 'railname' : undefined}>
        Open an archive
      </h2>
      <p>A rack as one file becomes a rack in a new folder. The archive itself stays as it is.</p>
      <PathField label="Archive (.overground.zip)" value={path} onChange={choose} error={at('path')} />
      {facts ? <Facts facts={facts} /> : null}
      {facts ? (
        <FolderField
          label="New folder for the rack"
          value={folder}
          onChange={setTyped}
          choose="Where the rack is to live"
          error={at('folder')}
        />
      ) : null}
      {job?.state === 'running' ? (
        <JobProgress job={job} fallback="Unpacking" />
      ) : (
        <div className="archive-acts">
          <button type="submit" className={facts ? 'btn main' : 'btn'} aria-disabled={busy}>
            {facts ? 'Unpack and open' : 'Look inside'}
          </button>
          {facts ? (
            <button
              type="button"
              className="btn plain"
              onClick={() => void act('archive.verify', { path: facts.path })}
            >
              Check every checksum
            </button>
          ) : null}
        </div>
      )}
      <FieldError id={`${id}-failed`} said={job?.state === 'failed' ? job.error : null} />
      {job?.state === 'cancelled' ? <p className="fine">Stopped. Nothing of it was kept.</p> : null}
    </form>
  )
}

function Facts({ facts }: { facts: ArchiveFacts }) {
  return (
    <div className="archive-facts" role="status">
      <p>
        <b>{facts.name}</b>
      </p>
      <p>{`${counted(facts.panels, 'panel')}, ${counted(facts.photos, 'photo')}, ${bytesWords(facts.byteCount)}, ${facts.history ? 'with' : 'without'} the history of changes.`}</p>
      <p className="fine">{`Made on ${sayDay(facts.madeAt)} by Overground ${facts.madeBy}. Table of contents and manifest agree; each file is held against its checksum as it is unpacked.`}</p>
      {facts.ofThisRack ? <p className="fine">It was made of the rack that is open here, or of a copy of it.</p> : null}
      {facts.missing + facts.damaged > 0 ? (
        <p className="fine">{`When it was made, ${counted(facts.missing, 'original was', 'originals were')} not there and ${counted(facts.damaged, 'had', 'had')} been altered by a disk.`}</p>
      ) : null}
    </div>
  )
}
