import './backups.css'
import { useState } from 'react'
import { backUpNow } from '../../../commands/care/back-up-now.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { useStore } from '../../../state/store.ts'
import { useNow } from '../../../state/use-now.ts'
import { BackupList } from './backup-list.tsx'
import { MakeRackDialog } from './make-rack-dialog.tsx'
import { RestoreDialog } from './restore-dialog.tsx'
import { SecondPlaceBlock } from './second-place-block.tsx'
import { useBackupList, useBackupState } from './use-backups.ts'
import { safeInWords, secondInShort, sinceInWords } from './words.ts'

/** Copies of the records, and going back to one. */
export function BackupsPage() {
  const folder = useStore((s) => s.rack?.folder)
  return folder === undefined ? null : <Backups key={folder} folder={folder} />
}

function Backups({ folder }: { folder: string }) {
  const { listed, error } = useBackupList(folder)
  const { state, ask } = useBackupState()
  const settings = useStore((s) => s.settings)
  const [open, setOpen] = useState<{ file: string } | 'make' | null>(null)
  const now = new Date(useNow(60_000))
  return (
    <div className="backups">
      <section className="backups-safe" aria-label="What is safe">
        <p className="say" role="status">
          {state ? safeInWords(state, settings, now) : 'Looking at the backups'}
        </p>
        {state ? (
          <p className="lead">{secondInShort(state.second, settings, now) ?? 'No second copy of it lies elsewhere.'}</p>
        ) : null}
        {state ? <p>{sinceInWords(state)}</p> : null}
        {state?.trouble ? (
          <Caution
            message={`The last attempt came to nothing: ${state.trouble.message}`}
            remedy={state.trouble.remedy}
          />
        ) : state?.overdue ? (
          <Caution message="No backup has been made for three days." remedy="Choose “Back up now”." />
        ) : null}
        <div className="backups-acts">
          <CommandButton command={backUpNow} look="main" />
        </div>
      </section>
      <div className="backups-columns">
        <section className="block" aria-label="Backups of this rack">
          <h2>Backups of this rack</h2>
          {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
          <BackupList listed={listed} onOpen={(file) => setOpen({ file })} />
        </section>
        <div className="backups-side">
          {state ? <SecondPlaceBlock state={state} onChanged={ask} /> : null}
          <section className="block backups-words" aria-label="How backups are kept">
            <h2>How they are kept</h2>
            <p>
              One a day, by itself, when something was changed; and before anything that touches all records: an update,
              going back, taking in another rack, a repair.
            </p>
            <p className="fine">
              Kept are the last of each of 7 days, 4 weeks and 12 months, the last 12 made by hand, and the last 6 of
              each other kind. The only whole one is never removed. Photos need no backup here: an original is never
              changed, and never removed by going back. They are copied to the second place.
            </p>
          </section>
          <section className="block backups-words" aria-label="On another computer">
            <h2>On another computer</h2>
            <p>A second place makes a whole rack again, in a new folder, on any computer that sees it.</p>
            <button type="button" className="btn" onClick={() => setOpen('make')}>
              Make a rack from a second place
            </button>
          </section>
        </div>
      </div>
      {open === 'make' ? <MakeRackDialog from={state?.second?.folder ?? ''} onClose={() => setOpen(null)} /> : null}
      {open !== null && open !== 'make' ? (
        <RestoreDialog folder={folder} file={open.file} onClose={() => setOpen(null)} />
      ) : null}
    </div>
  )
}
