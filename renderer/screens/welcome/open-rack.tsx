import { type FormEvent, useEffect, useState } from 'react'
import type { RecentRack } from '../../../shared-core/records/rack.ts'
import { client } from '../../client/client.ts'
import { FieldError, type Said } from '../../parts/field-error.tsx'
import { sayDay } from '../../parts/say-numbers.ts'
import { act, refreshRack } from '../../state/asking.ts'
import { FolderField } from './folder-field.tsx'

async function recentRacks(): Promise<RecentRack[]> {
  const answer = await client().call('rack.listRecent', {})
  return answer.ok ? answer.value.racks : []
}

/** Racks opened before, or one by its folder. */
export function OpenRack() {
  const [racks, setRacks] = useState<RecentRack[] | null>(null)
  const [folder, setFolder] = useState('')
  const [failed, setFailed] = useState<(Said & { folder: string }) | null>(null)
  const [opening, setOpening] = useState<string | null>(null)
  const listRecent = async () => setRacks(await recentRacks())
  useEffect(() => {
    let here = true
    void recentRacks().then((found) => {
      if (here) setRacks(found)
    })
    return () => {
      here = false
    }
  }, [])

  const open = async (which: string) => {
    if (opening !== null) return
    if (which === '')
      return setFailed({ folder: which, message: 'No folder is named.', remedy: 'Write where the rack lies.' })
    setOpening(which)
    setFailed(null)
    const answer = await client().call('rack.open', { folder: which })
    setOpening(null)
    if (answer.ok) return refreshRack()
    setFailed({ ...answer.error, folder: which })
    await listRecent()
  }
  const forget = async (which: string) => {
    if (await act('rack.forgetRecent', { folder: which })) await listRecent()
  }
  const listed = (racks ?? []).some((rack) => rack.folder === failed?.folder)
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
                onOpen={() => void open(rack.folder)}
                onForget={() => void forget(rack.folder)}
              />
              <FieldError id="welcome-recent-error" said={failed?.folder === rack.folder ? failed : null} />
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
          void open(folder.trim())
        }}
      >
        <FolderField
          label="Folder of a rack"
          value={folder}
          onChange={setFolder}
          choose="The folder of the rack"
          error={failed && !listed ? failed : null}
        />
        <button type="submit" className="btn" aria-disabled={opening !== null}>
          Open this rack
        </button>
      </form>
    </section>
  )
}

type RecentProps = { rack: RecentRack; opening: boolean; onOpen: () => void; onForget: () => void }

function RecentOne({ rack, opening, onOpen, onForget }: RecentProps) {
  const words = (
    <>
      <b>{rack.name}</b>
      <span className="fine welcome-path">{rack.folder}</span>
      <span className="fine">
        {rack.present ? `opened ${sayDay(rack.openedAt)}` : 'not there now: is its disk connected, or was it moved?'}
        {opening ? ', opening' : ''}
      </span>
    </>
  )
  return (
    <div className={`welcome-one ${rack.present ? '' : 'is-absent'}`}>
      {rack.present ? (
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
