import { closeRack } from '../../commands/app/close-rack.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { PlaceLink } from '../../parts/place-link.tsx'
import { act, refreshRack } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

const safeKeeping = { at: 'care', page: 'backups' } as const

/** The open rack's folder, how it is kept safe, and the way to another. */
export function WhereFilesLive() {
  const rack = useStore((s) => s.rack)
  return (
    <section className="block">
      <h2>Where files live</h2>
      {rack ? (
        <>
          <p>
            <b>{rack.name}</b>, {rack.panelCount === 1 ? '1 panel' : `${rack.panelCount} panels`}
          </p>
          <p className="settings-folder">{rack.folder}</p>
          <p className="fine">
            This folder is the whole rack. Its “photos” folder holds your originals unchanged; “backups” holds copies of
            the records. To move the rack, close it here and move the whole folder, or make an archive of it.
          </p>
          {rack.access.mode === 'full' ? <KeptInSync kept={rack.keptInSync} /> : null}
          <div className="pair">
            <PlaceLink to={safeKeeping} className="btn">
              Safe keeping
            </PlaceLink>
            <CommandButton command={closeRack} />
          </div>
          <p className="fine">
            “Safe keeping” has backups, the rack as one file, looking whether everything is whole, and its history.
            “Another rack” closes this one first; everything in it is saved already.
          </p>
        </>
      ) : (
        <p>No rack is open. “Start” makes one or opens one.</p>
      )}
    </section>
  )
}

/** Not every program that keeps folders the same leaves signs that can be seen. */
function KeptInSync({ kept }: { kept: boolean }) {
  const keep = async (keptInSync: boolean) => {
    if (await act('rack.setKeptInSync', { keptInSync })) await refreshRack()
  }
  return (
    <label className="check">
      <input type="checkbox" checked={kept} onChange={(event) => void keep(event.target.checked)} />A program keeps this
      folder the same on several computers
    </label>
  )
}
