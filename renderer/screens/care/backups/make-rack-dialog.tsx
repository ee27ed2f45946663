import './backups.css'
import { type FormEvent, useState } from 'react'
import { client } from '../../../client/client.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import type { Said } from '../../../parts/field-error.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { FolderField } from '../../welcome/folder-field.tsx'

/** A whole rack again from a second place: where that lies, and where the rack is to live. */
export function MakeRackDialog({ from = '', onClose }: { from?: string; onClose: () => void }) {
  const [place, setPlace] = useState(from)
  const [typed, setTyped] = useState<string | null>(null)
  const [failed, setFailed] = useState<(Said & { where: 'from' | 'to' }) | null>(null)
  const [busy, setBusy] = useState(false)
  const name = nameIn(place)
  const suggested = useAnswer('rack.suggestFolder', { name }).value?.folder ?? ''
  const folder = typed ?? suggested
  const make = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    if (place.trim() === '')
      return setFailed({
        where: 'from',
        message: 'No second place is named.',
        remedy: 'Choose the folder that holds “backups” and “photos”.',
      })
    setBusy(true)
    const answer = await client().call('backups.restoreElsewhere', {
      from: place.trim(),
      file: null,
      to: folder.trim(),
    })
    setBusy(false)
    if (answer.ok) return onClose()
    const isAboutTarget = ['rack/already-one', 'rack/folder-not-empty', 'rack/read-only'].includes(answer.error.code)
    setFailed({ ...answer.error, where: isAboutTarget ? 'to' : 'from' })
  }
  return (
    <Dialog title="Make a rack from a second place" onClose={onClose}>
      <form className="restore" noValidate onSubmit={(event) => void make(event)}>
        <p>
          Photos, data sheets and the newest whole backup are copied into a new folder, each compared with its checksum.
          The second place stays as it is.
        </p>
        <FolderField
          label="The second place: the folder that holds “backups” and “photos”"
          value={place}
          onChange={setPlace}
          choose="The folder of the second place"
          error={failed?.where === 'from' ? failed : null}
        />
        <FolderField
          label="Where the rack is to live"
          value={folder}
          onChange={setTyped}
          choose="Where the rack is to live"
          error={failed?.where === 'to' ? failed : null}
        />
        <div className="backups-acts">
          <button type="submit" className="btn main" aria-disabled={busy}>
            Make the rack
          </button>
          <button type="button" className="btn plain" onClick={onClose}>
            Not now
          </button>
        </div>
      </form>
    </Dialog>
  )
}

/** The rack's name, as the folder of its second place says. */
const nameIn = (place: string): string =>
  (place.split(/[/\\]/).findLast((piece) => piece !== '') ?? '').replace(/ second place( \d+)?$/, '') || 'Rack'
