import { type FormEvent, useId, useRef, useState } from 'react'
import { client } from '../../../client/client.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { FieldError, type Said } from '../../../parts/field-error.tsx'
import { askReport } from './check-state.ts'

/** Where lost originals may still be: a folder by its path or the system's dialog, or files. */
export function Relink() {
  const id = useId()
  const files = useRef<HTMLInputElement>(null)
  const [path, setPath] = useState('')
  const [failed, setFailed] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)

  const look = async (paths: string[]) => {
    if (busy) return
    setBusy(true)
    setFailed(null)
    const answer = await client().call('check.relink', { paths })
    setBusy(false)
    if (!answer.ok) setFailed(answer.error)
    await askReport()
  }
  const submit = (event: FormEvent) => {
    event.preventDefault()
    if (path.trim() === '')
      setFailed({ message: 'No place is named.', remedy: 'Write the path of a folder or a file, or choose one.' })
    else void look([path.trim()])
  }
  const pick = async () => {
    const folder = await client().pickFolder('Where the originals may still be')
    if (folder !== null) {
      setPath(folder)
      await look([folder])
    }
  }
  const stage = async (chosen: FileList | null) => {
    if (!chosen || chosen.length === 0) return
    const paths: string[] = []
    for (const file of chosen) paths.push(await client().stage(file))
    await look(paths)
  }
  return (
    <form className="check-relink" onSubmit={submit} noValidate>
      <div className="field">
        <span>
          <label htmlFor={id}>Folder or file that may still have them</label>
        </span>
        <input
          id={id}
          className="input"
          value={path}
          spellCheck={false}
          autoComplete="off"
          placeholder="for instance the camera card, or the phone’s export"
          aria-invalid={failed !== null}
          aria-describedby={failed ? `${id}-error` : undefined}
          onChange={(event) => setPath(event.target.value)}
        />
        <FieldError id={`${id}-error`} said={failed} />
      </div>
      <div className="check-acts">
        <button type="submit" className="btn" aria-disabled={busy}>
          {busy ? 'Looking' : 'Look there'}
        </button>
        {client().capabilities.canPickFolder ? (
          <ChangeButton type="button" className="btn" onClick={() => void pick()}>
            Choose a folder
          </ChangeButton>
        ) : null}
        <ChangeButton type="button" className="btn" onClick={() => files.current?.click()}>
          Choose files
        </ChangeButton>
        <input
          ref={files}
          type="file"
          multiple
          hidden
          aria-label="Files that may be the lost originals"
          onChange={(event) => void stage(event.target.files)}
        />
      </div>
    </form>
  )
}
