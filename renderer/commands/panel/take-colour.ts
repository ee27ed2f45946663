import { useShownPhoto } from '../../screens/panel/shown-photo.ts'
import { idOfPhoto } from '../../state/match-address.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { noColourKnown } from '../match/take-in-photo.ts'

/** Any point of the photo that is shown of the panel. */
export const takeColourOfPanel: Command = {
  id: 'panel.takeColour',
  place: 'panel',
  label: () => 'Take a colour here',
  shortcut: 'k',
  missing() {
    const { photo } = useShownPhoto.getState()
    return photo ? noColourKnown(photo.layout, photo.setupId) : 'This panel has no photo yet.'
  },
  run() {
    const { photo } = useShownPhoto.getState()
    if (photo) go({ at: 'match', referenceId: idOfPhoto(photo.id) })
  },
  undo: 'none',
}
