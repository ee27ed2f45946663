import { closeRack } from '../../commands/app/close-rack.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { useStore } from '../../state/store.ts'

/** The open rack's folder, and the way to another. */
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
            This folder is the whole rack. Its “photos” folder holds your originals unchanged; “backups” gets a copy of
            the records before a newer Overground changes their form. To move the rack to another computer, close it
            here and copy the folder.
          </p>
          <CommandButton command={closeRack} />
          <p className="fine">“Another rack” closes this one first; everything in it is saved already.</p>
        </>
      ) : (
        <p>No rack is open. “Start” makes one or opens one.</p>
      )}
    </section>
  )
}
