import { useState } from 'react'
import { client } from '../client/client.ts'
import { Dialog } from '../parts/dialog.tsx'
import type { Said } from '../parts/field-error.tsx'
import { FolderField } from '../screens/welcome/folder-field.tsx'
import { useAnswer } from '../state/asking.ts'
import { rackPlace } from '../state/rack-place.ts'
import { useStore } from '../state/store.ts'

/** Where a rack that is only looked at is to be copied. */
export function CopyDialog() {
  const name = useStore((s) => s.rack?.name ?? '')
  const suggested = useAnswer('rack.suggestFolder', { name }).value?.folder ?? ''
  const [typed, setTyped] = useState<string | null>(null)
  const [failed, setFailed] = useState<Said | null>(null)
  const folder = typed ?? suggested
  const close = () => rackPlace.setState({ shown: null })
  const copy = async () => {
    setFailed(null)
    const answer = await client().call('rack.copyHere', { folder: folder.trim() })
    if (answer.ok) close()
    else setFailed(answer.error)
  }
  return (
    <Dialog title="Copy it to this computer" onClose={close}>
      <div className="rack-copy">
        <p>
          The records, all photos and data sheets are copied into a new folder, each compared with its checksum. Then
          the copy is opened, with everything that you can do in a rack. The one that you are looking at stays as it is.
        </p>
        <FolderField
          label="Where the copy is to live"
          value={folder}
          onChange={setTyped}
          choose="Where the copy is to live"
          error={failed}
        />
        <p className="fine">
          What is changed in the copy is not changed in the other rack. Older backups are not copied along.
        </p>
        <div className="rack-copy-acts">
          <button
            type="button"
            className="btn main"
            aria-disabled={folder.trim() === ''}
            onClick={() => (folder.trim() === '' ? undefined : void copy())}
          >
            Copy the rack
          </button>
          <button type="button" className="btn" onClick={close}>
            Not now
          </button>
        </div>
      </div>
    </Dialog>
  )
}
