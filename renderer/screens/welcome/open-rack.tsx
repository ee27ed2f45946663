import { type FormEvent, useEffect, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { RecentRack } from '../../../shared-core/records/rack.ts'
import { client } from '../../client/client.ts'
import { sayDay } from '../../parts/say-numbers.ts'
import { sayTime } from '../../parts/say-time.ts'
import { act } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { FromSecondPlace } from '../care/backups/from-second-place.tsx'
import { FindMoved } from './find-moved.tsx'
import { FolderField } from './folder-field.tsx'
import { openRack, useRefused } from './refused.ts'

async function recentRacks(): Promise<RecentRack[]> {
  const answer = await client().call('rack.listRecent', {})
  return answer.ok ? answer.value.racks : []
}

/** Racks opened before, or one by its folder. */
export function OpenRack() {
  const [racks, setRacks] = useState<RecentRack[] | null>(null)
  const [folder, setFolder] = useState('')
  const [unnamed, setUnnamed] = useState(false)
  const [opening, refused] = useRefused(useShallow((s) => [s.opening, s.refused]))
  const listRecent = async () => setRacks(await recentRacks())
  useEffect(() => {
    let here = true
    void recentRacks().then((found) => {
      if (here) setRacks(found)
    })
    return () => {
      here = false
    }
    // what was refused may be gone from its folder
  }, [refused])

  const open = (which: string, name: string | null) => {
    setUnnamed(which.trim() === '')
    if (which.trim() !== '') void openRack(which, {}, name)
  }
  const forget = async (which: string) => {
    if (refused?.folder === which) useRefused.setState({ refused: null })
    if (await act('rack.forgetRecent', { folder: which })) await listRecent()
  }
  return (
    <section className="welcome-way block" aria-label="Open a rack">
      <h2 className="railname">Open a rack</h2>
      {racks && racks.length > 0 ? (
        <ul className="welcome-recent">
          {racks.map((rack) => (
            <li key={rack.folder}>
              <RecentOne
                rack={rack}
                opening={opening === rack.folder}
                onOpen={() => open(rack.folder, rack.name)}
                onForget={() => void forget(rack.folder)}
              />
              {rack.present || rack.recordsGone ? null : <FindMoved folder={rack.folder} />}
            </li>
          ))}
        </ul>
      ) : (
        <p className="fine">Racks you have opened on this computer will stand here.</p>
      )}
      <form
        className="welcome-open"
        noValidate
        onSubmit={(event: FormEvent) => {
          event.preventDefault()
          open(folder, null)
        }}
      >
        <FolderField
          label="Folder of a rack"
          value={folder}
          onChange={setFolder}
          choose="The folder of the rack"
          error={unnamed ? { message: 'No folder is named.', remedy: 'Write where the rack lies.' } : null}
        />
        <button type="submit" className="btn" aria-disabled={opening !== null}>
          Open this rack
        </button>
      </form>
      <FromSecondPlace />
    </section>
  )
}

type RecentProps = { rack: RecentRack; opening: boolean; onOpen: () => void; onForget: () => void }

function RecentOne({ rack, opening, onOpen, onForget }: RecentProps) {
  const settings = useStore((s) => s.settings)
  const canOpen = rack.present || rack.recordsGone
  const how = rack.present
    ? `opened ${sayDay(rack.openedAt)}, ${sayTime(rack.openedAt, settings)}`
    : rack.recordsGone
      ? 'its records are gone, its photos or backups are there: open it to repair it'
      : 'not there now: is its disk connected, or was it moved?'
  const words = (
    <>
      <b>{rack.name}</b>
      <span className="fine welcome-path">{rack.folder}</span>
      <span className="fine">
        {how}
        {opening ? ', opening' : ''}
      </span>
    </>
  )
  return (
    <div className={`welcome-one ${canOpen ? '' : 'is-absent'}`}>
      {canOpen ? (
        <button type="button" className="welcome-pick" onClick={onOpen}>
          {words}
        </button>
      ) : (
        <div className="welcome-pick">{words}</div>
      )}
      <button
        type="button"
        className="btn plain"
        aria-label={`Forget ${rack.name}`}
        title="Takes it off this list; the folder stays as it is"
        onClick={onForget}
      >
        Forget
      </button>
    </div>
  )
}
