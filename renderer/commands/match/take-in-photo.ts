import { keepMarks } from '../../screens/tray/desk-actions.ts'
import { useDesk } from '../../screens/tray/desk-state.ts'
import { idOfPhoto } from '../../state/match-address.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

/** Any point of the photo on the desk, by the card that is marked in it. */
export const takeInPhoto: Command = {
  id: 'tray.takeColour',
  place: 'tray',
  label: () => 'Take a colour here',
  shortcut: 'k',
  missing() {
    const { photo, proposal, marks } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    if (proposal) return 'Accept the proposed marks first, or mark the card anew.'
    const known = marks.card !== null || marks.chart !== null || marks.tiles.length > 0
    return known || useDesk.getState().circumstances.setupId !== null
      ? null
      : 'Mark the grey card first: by it a colour is read.'
  },
  async run() {
    const { photo } = useDesk.getState()
    if (photo && (await keepMarks())) go({ at: 'match', referenceId: idOfPhoto(photo.id) })
  },
  undo: 'none',
}
