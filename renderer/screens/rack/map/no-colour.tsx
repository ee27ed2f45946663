import { addPhotos } from '../../../commands/rack/add-photos.ts'
import { CommandButton } from '../../../parts/command-button.tsx'

/** Panels are there, but none has a colour to lay on the map. */
export function NoColour({ panelCount }: { panelCount: number }) {
  return (
    <div className="rack-nothing">
      <h2 className="say">{panelCount === 1 ? 'This panel has no colour yet' : 'No panel here has a colour yet'}</h2>
      <p>
        The map lays every sprayed step out by hue, chroma and lightness. A colour comes from a photo with the grey
        card, filed to its panel, or from an instrument’s figures on the panel’s page.
      </p>
      <div className="rack-acts">
        <CommandButton command={addPhotos} look="main" />
      </div>
    </div>
  )
}
