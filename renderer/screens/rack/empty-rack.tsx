import { addPhotos } from '../../commands/rack/add-photos.ts'
import { newPanel } from '../../commands/rack/new-panel.ts'
import { takeNotebook } from '../../commands/rack/take-notebook.ts'
import { Caution } from '../../parts/caution.tsx'
import { CommandButton } from '../../parts/command-button.tsx'
import { useStore } from '../../state/store.ts'

/** What to do first in a rack without panels. */
export function EmptyRack() {
  const name = useStore((s) => s.rack?.name ?? 'This rack')
  return (
    <main className="rack-first scroll">
      <h1 className="title">{name} is empty</h1>
      <p className="lead">Four things put the first panel on the wall.</p>
      <ol className="rack-steps">
        <li>
          <b>Spray a panel, or take one you have</b>
          <span>Any panel with paint on it will do, also one from years ago.</span>
        </li>
        <li>
          <b>Photograph it beside the grey card</b>
          <span>Both flat, in the same even light, square to the camera, nothing shining into the lens.</span>
        </li>
        <li>
          <b>Drop the photo into the Tray</b>
          <span>Mark the panel and the card there; the colour is read with its uncertainty.</span>
        </li>
        <li>
          <b>File it to its panel</b>
          <span>Ground, candy, parts and coats are written down once, and found again by colour.</span>
        </li>
      </ol>
      <div className="rack-acts">
        <CommandButton command={addPhotos} look="main" />
        <CommandButton command={newPanel} />
        <CommandButton command={takeNotebook} />
        <span className="fine">Formula at hand and no photo yet? Make the panel first and photograph it later.</span>
      </div>
      <Caution
        message="Caution."
        remedy="A phone or camera can ignite solvent vapour. Photograph after the booth has purged, outside the mixing area."
      />
    </main>
  )
}
