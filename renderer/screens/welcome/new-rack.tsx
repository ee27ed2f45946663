import { type FormEvent, useId, useState } from 'react'
import type { ErrorCode } from '../../../shared-core/contract/calls.ts'
import { client } from '../../client/client.ts'
import { FieldError, type Said } from '../../parts/field-error.tsx'
import { refreshRack, useAnswer } from '../../state/asking.ts'
import { FolderField } from './folder-field.tsx'

type Where = 'name' | 'folder' | 'form'

/** Which field a failure belongs to. */
function fieldOf(code: ErrorCode<'rack.create'>): Where {
  switch (code) {
    case 'rack/already-one':
    case 'rack/folder-not-empty':
    case 'rack/read-only':
    case 'rack/folder-absent':
    case 'rack/disk-full':
    case 'rack/on-network':
    case 'rack/place-unknown':
    case 'rack/path-too-long':
    case 'rack/drive-gone':
      return 'folder'
    case 'rack/none-open':
    case 'rack/taken-over':
    case 'rack/replaced':
    case 'rack/reading-only':
    case 'service/bad-input':
    case 'service/stopped':
    case 'unexpected':
      return 'form'
  }
}

/** A new rack: its name, and the folder it lives in. */
export function NewRack() {
  const id = useId()
  const [name, setName] = useState('')
  const [typed, setTyped] = useState<string | null>(null)
  const [failed, setFailed] = useState<(Said & { where: Where }) | null>(null)
  const [busy, setBusy] = useState(false)
  const suggested = useAnswer('rack.suggestFolder', { name: name.trim() }).value?.folder
  const [lastSuggested, setLastSuggested] = useState('')
  if (suggested !== undefined && suggested !== lastSuggested) setLastSuggested(suggested)
  const folder = typed ?? lastSuggested
  const at = (where: Where) => (failed?.where === where ? failed : null)

  const make = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    if (name.trim() === '')
      return setFailed({
        where: 'name',
        message: 'The rack has no name yet.',
        remedy: 'Write what you call it, for instance “North wall”.',
      })
    if (folder.trim() === '')
      return setFailed({ where: 'folder', message: 'No folder is named.', remedy: 'Write where the rack is to live.' })
    setBusy(true)
    setFailed(null)
    const answer = await client().call('rack.create', { folder: folder.trim(), name: name.trim() })
    setBusy(false)
    if (answer.ok) await refreshRack()
    else setFailed({ ...answer.error, where: fieldOf(answer.error.code) })
  }

  return (
    <form
      className="welcome-way block"
      aria-labelledby={`${id}-head`}
      onSubmit={(event) => void make(event)}
      noValidate
    >
      <h2 id={`${id}-head`} className="railname">
        New rack
      </h2>
      <div className="field">
        <span>
          <label htmlFor={`${id}-name`}>Name</label>
        </span>
        <input
          id={`${id}-name`}
          className="input"
          value={name}
          maxLength={120}
          placeholder="for instance North wall"
          autoComplete="off"
          aria-invalid={at('name') !== null}
          aria-describedby={at('name') ? `${id}-name-error` : undefined}
          onChange={(event) => setName(event.target.value)}
        />
        <FieldError id={`${id}-name-error`} said={at('name')} />
      </div>
      <FolderField
        label="Where it lives"
        value={folder}
        onChange={setTyped}
        choose="Where the new rack is to live"
        error={at('folder')}
      />
      <p className="fine">The folder is made if it is not there. Photos you add are copied into it, unchanged.</p>
      <FieldError id={`${id}-error`} said={at('form')} />
      <button type="submit" className="btn main" aria-disabled={busy}>
        {busy ? 'Making the rack' : 'Make the rack'}
      </button>
    </form>
  )
}
