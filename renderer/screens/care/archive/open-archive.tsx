import './archive.css'
import { type FormEvent, useEffect, useId, useState } from 'react'
import type { ArchiveFacts } from '../../../../shared-core/records/archive.ts'
import { client } from '../../../client/client.ts'
import type { Said } from '../../../parts/field-error.tsx'
import { useStore } from '../../../state/store.ts'
import { PathField } from './path-field.tsx'
import { UnpackForm } from './unpack-form.tsx'

/** A rack made of an archive, in a folder of its own. Also where no rack is open. @param className of its section */
export function OpenArchive({ className = 'block archive-block' }: { className?: string }) {
  const id = useId()
  const [path, setPath] = useState('')
  const [facts, setFacts] = useState<ArchiveFacts | null>(null)
  const [said, setSaid] = useState<Said | null>(null)
  const [jobId, setJobId] = useState<string | null>(null)
  const [busy, setBusy] = useState(false)
  const state = useStore((s) => (jobId === null ? undefined : s.jobs[jobId]?.state))
  useEffect(() => {
    if (state !== 'done') return
    setPath('')
    setFacts(null)
    setJobId(null)
  }, [state])
  const choose = (which: string) => {
    setPath(which)
    setFacts(null)
    setSaid(null)
    setJobId(null)
  }
  const look = async (event: FormEvent) => {
    event.preventDefault()
    if (busy || state === 'running') return
    setSaid(null)
    const which = path.trim()
    if (which === '')
      return setSaid({ message: 'No archive is named.', remedy: 'Choose the file, or write where it lies.' })
    setBusy(true)
    const answer = await client().call('archive.inspect', { path: which })
    setBusy(false)
    if (answer.ok) setFacts(answer.value.archive)
    else setSaid(answer.error)
  }
  return (
    <section className={className} aria-labelledby={`${id}-head`}>
      <h2 id={`${id}-head`} className={className.includes('welcome') ? 'railname' : undefined}>
        Open an archive
      </h2>
      <p>A rack as one file becomes a rack in a new folder. The archive itself stays as it is.</p>
      <form className="archive-block" aria-labelledby={`${id}-head`} noValidate onSubmit={(event) => void look(event)}>
        <PathField label="Archive (.overground.zip)" value={path} onChange={choose} error={said} />
        <div className="archive-acts">
          <button type="submit" className="btn" aria-disabled={busy || state === 'running'}>
            Look inside
          </button>
        </div>
      </form>
      {facts ? (
        <UnpackForm
          key={facts.path}
          facts={facts}
          jobId={jobId}
          onBegun={setJobId}
          onPathRefused={(why) => {
            setFacts(null)
            setSaid(why)
          }}
        />
      ) : null}
      {state === 'cancelled' ? <p className="fine">Stopped. Nothing of it was kept.</p> : null}
    </section>
  )
}
