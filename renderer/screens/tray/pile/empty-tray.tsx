import { printPhotoSheet } from '../../../commands/tray/print-photo-sheet.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { OtherWays } from '../other-ways.tsx'
import { ChoosePhotos, Purged } from './choose-photos.tsx'

/** What to do while nothing waits: how a photo is taken, and the ways in which it comes here. */
export function EmptyTray() {
  return (
    <div className="tray-how">
      <h1 className="say">No photo is waiting</h1>
      <ol className="tray-easy">
        <li>
          <p>
            <b>Lay the panel on a photo sheet:</b> the photo says by itself which panel it shows, and how light falls on
            it.
          </p>
          <CommandButton command={printPhotoSheet} />
        </li>
        <li>
          <p>
            <b>Or beside the grey card,</b> flat and in even light, with white and black tiles or the 24-patch chart
            where you have them. Photograph it from straight above.
          </p>
        </li>
        <li>
          <p>
            <b>Then drop the photos here,</b> paste or choose them, or let them come from a phone or a folder.
          </p>
          <div className="tray-in">
            <ChoosePhotos look="main" />
            <OtherWays />
          </div>
        </li>
      </ol>
      <p className="fine">
        JPEG, HEIC, DNG, TIFF, PNG, WebP and AVIF. The files stay as they are: the rack keeps them unchanged.
      </p>
      <Purged />
    </div>
  )
}
