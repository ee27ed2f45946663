import './backups.css'
import { useEffect, useState } from 'react'
import type { Failure } from '../../../../shared-core/contract/calls.ts'
import type { Backup, RestorePreview } from '../../../../shared-core/records/backup.ts'
import { client } from '../../../client/client.ts'
import { Caution } from '../../../parts/caution.tsx'
import { Dialog } from '../../../parts/dialog.tsx'
import { useStore } from '../../../state/store.ts'
import { useNow } from '../../../state/use-now.ts'
import { PreviewWords } from './preview-words.tsx'
import { useBackupList } from './use-backups.ts'
import { countsInWords, sayWhen, whyInWords } from './words.ts'

type Props = {
  /** Of a rack that is open, closed, or cannot be opened. */
  folder: string
  /** The backup to look at first; left out: the newest whole one. */
  file?: string | null
  onClose: () => void
}

/** What going back to a backup would change, and going back. */
export function RestoreDialog({ folder, file = null, onClose }: Props) {
  const { listed, error } = useBackupList(folder)
  const [picked, setPicked] = useState<string | null>(file)
  const usable = (listed?.backups ?? []).filter(({ state }) => state !== 'damaged')
  const chosen = usable.find((backup) => backup.file === (picked ?? usable[0]?.file)) ?? null
  return (
    <Dialog title="Go back to a backup" onClose={onClose}>
      <div className="restore">
        {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
        {listed && usable.length === 0 ? (
          <Caution
            message="No whole backup lies in this rack’s folder."
            remedy="If copies were kept in a second place, make a rack from there. What the photo folder holds is not lost."
          />
        ) : null}
        {usable.length > 0 ? <Pick usable={usable} chosen={chosen} onPick={setPicked} /> : null}
        {chosen ? <Preview key={chosen.file} folder={folder} backup={chosen} onClose={onClose} /> : null}
        {chosen ? null : (
          <div className="backups-acts">
            <button type="button" className="btn" onClick={onClose}>
              Close
            </button>
          </div>
        )}
      </div>
    </Dialog>
  )
}

type PickProps = { usable: Backup[]; chosen: Backup | null; onPick: (file: string) => void }

function Pick({ usable, chosen, onPick }: PickProps) {
  const settings = useStore((s) => s.settings)
  const now = new Date(useNow(60_000))
  const say = (backup: Backup) => {
    const holds = backup.facts ? `, ${countsInWords(backup.facts.counts)}` : ''
    return `${sayWhen(backup.madeAt, settings, now)}, ${whyInWords(backup)}${holds}`
  }
  return (
    <label className="field">
      <span>The backup</span>
      <select className="select" value={chosen?.file ?? ''} onChange={(event) => onPick(event.target.value)}>
        {usable.map((backup) => (
          <option key={backup.file} value={backup.file}>
            {say(backup)}
          </option>
        ))}
      </select>
    </label>
  )
}

type PreviewProps = { folder: string; backup: Backup; onClose: () => void }

function Preview({ folder, backup, onClose }: PreviewProps) {
  const settings = useStore((s) => s.settings)
  const now = new Date(useNow(60_000))
  const [preview, setPreview] = useState<RestorePreview | null>(null)
  const [failed, setFailed] = useState<Failure | null>(null)
  const [busy, setBusy] = useState(false)
  useEffect(() => {
    let here = true
    void client()
      .call('backups.preview', { folder, file: backup.file })
      .then((answer) => {
        if (!here) return
        if (answer.ok) setPreview(answer.value)
        else setFailed(answer.error)
      })
    return () => {
      here = false
    }
  }, [folder, backup.file])
  const goBack = async () => {
    if (busy || !preview) return
    setBusy(true)
    const answer = await client().call('backups.restore', { folder, file: backup.file })
    setBusy(false)
    if (answer.ok) onClose()
    else setFailed(answer.error)
  }
  const when = sayWhen(backup.madeAt, settings, now)
  return (
    <>
      {failed ? <Caution message={failed.message} remedy={failed.remedy} /> : null}
      {preview ? (
        <PreviewWords preview={preview} when={when} />
      ) : failed ? null : (
        <p role="status">Comparing this backup with the rack as it is</p>
      )}
      <div className="backups-acts">
        <button
          type="button"
          className="btn main"
          aria-disabled={!preview || busy}
          onClick={() => void goBack()}
        >{`Go back to ${when}`}</button>
        <button type="button" className="btn plain" onClick={onClose}>
          Leave the rack as it is
        </button>
      </div>
    </>
  )
}
