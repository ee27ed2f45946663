import { type FormEvent, useState } from 'react'
import type { BackupState, SecondPlace } from '../../../../shared-core/records/backup.ts'
import { client } from '../../../client/client.ts'
import { copyToSecondPlace } from '../../../commands/care/copy-to-second-place.ts'
import { Caution } from '../../../parts/caution.tsx'
import { ChangeFields } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import type { Said } from '../../../parts/field-error.tsx'
import { useStore } from '../../../state/store.ts'
import { useNow } from '../../../state/use-now.ts'
import { FolderField } from '../../welcome/folder-field.tsx'
import { secondInWords } from './words.ts'

/** Another disk, or a folder that goes to another computer by itself: records and photos. */
export function SecondPlaceBlock({ state, onChanged }: { state: BackupState; onChanged: () => Promise<void> }) {
  const [choosing, setChoosing] = useState(false)
  const { second } = state
  return (
    <section className="block backups-second" aria-label="Second place">
      <h2>Second place</h2>
      <ChangeFields>
        {second && !choosing ? (
          <Chosen second={second} onChange={() => setChoosing(true)} onChanged={onChanged} />
        ) : (
          <Choose
            second={second}
            onDone={async () => {
              setChoosing(false)
              await onChanged()
            }}
            onKeep={() => setChoosing(false)}
          />
        )}
      </ChangeFields>
    </section>
  )
}

type ChosenProps = { second: SecondPlace; onChange: () => void; onChanged: () => Promise<void> }

function Chosen({ second, onChange, onChanged }: ChosenProps) {
  const settings = useStore((s) => s.settings)
  const now = new Date(useNow(60_000))
  const [leaving, setLeaving] = useState(false)
  const leave = async () => {
    const answer = await client().call('secondPlace.choose', { folder: null })
    if (!answer.ok) return useStore.getState().warn(answer.error)
    useStore.getState().say('Nothing is copied to the second place any more.', 'The copies that lie there stay.')
    await onChanged()
  }
  return (
    <>
      <p className="backups-folder">{second.folder}</p>
      <p>{secondInWords(second, settings, now)}</p>
      {second.trouble ? <Caution message={second.trouble.message} remedy={second.trouble.remedy} /> : null}
      {second.sameDisk ? (
        <Caution
          message="It lies on the same disk as the rack."
          remedy="It helps against a slip, not against a disk that fails or is stolen. Better: another disk, or a folder that is kept in step with another computer."
        />
      ) : null}
      {leaving ? (
        <div className="backups-acts">
          <button type="button" className="btn" onClick={() => void leave()}>
            Stop copying there
          </button>
          <button type="button" className="btn plain" onClick={() => setLeaving(false)}>
            Keep it
          </button>
        </div>
      ) : (
        <div className="backups-acts">
          <CommandButton command={copyToSecondPlace} />
          <button type="button" className="btn plain" onClick={onChange}>
            Change
          </button>
          <button type="button" className="btn plain" onClick={() => setLeaving(true)}>
            Stop
          </button>
        </div>
      )}
    </>
  )
}

type ChooseProps = { second: SecondPlace | null; onDone: () => Promise<void>; onKeep: () => void }

function Choose({ second, onDone, onKeep }: ChooseProps) {
  const [folder, setFolder] = useState(second?.chosen ?? '')
  const [failed, setFailed] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)
  const keep = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    if (folder.trim() === '')
      return setFailed({ message: 'No folder is named.', remedy: 'Write where copies are to be kept.' })
    setBusy(true)
    const answer = await client().call('secondPlace.choose', { folder: folder.trim() })
    setBusy(false)
    setFailed(answer.ok ? null : answer.error)
    if (answer.ok) await onDone()
  }
  return (
    <form className="backups-choose" noValidate onSubmit={(event) => void keep(event)}>
      {second ? null : (
        <Caution
          message="There is no second copy."
          remedy="If this disk fails, the rack and its backups go together. Name a folder on another disk, or one that is kept in step with another computer: records and photos are copied there with each backup."
        />
      )}
      <FolderField
        label="Folder on another disk, or a synced one"
        value={folder}
        onChange={setFolder}
        choose="Where second copies are to be kept"
        error={failed}
      />
      <div className="backups-acts">
        <button type="submit" className="btn" aria-disabled={busy}>
          {busy ? 'Looking at the folder' : 'Keep copies there'}
        </button>
        {second ? (
          <button type="button" className="btn plain" onClick={onKeep}>
            Leave it as it is
          </button>
        ) : null}
      </div>
      <p className="fine">
        The rack gets a folder of its own there. Files appear only when they are whole, so a program that keeps folders
        in step never sees half of one.
      </p>
    </form>
  )
}
