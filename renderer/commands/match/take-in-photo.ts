import type { Layout } from '../../../shared-core/records/area.ts'
import { keepMarks } from '../../screens/tray/desk-actions.ts'
import { useDesk } from '../../screens/tray/desk-state.ts'
import { idOfPhoto } from '../../state/match-address.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

/** What is missing before a colour in a photo can be told; null: nothing. */
export function noColourKnown({ card, chart, tiles }: Omit<Layout, 'areas'>, setupId: string | null): string | null {
  const known = card !== null || (chart ?? null) !== null || (tiles ?? []).length > 0 || setupId !== null
  return known ? null : 'Mark the grey card in this photo first: by it a colour is read.'
}

/** Any point of the photo on the desk, by the card that is marked in it. */
export const takeInPhoto: Command = {
  id: 'tray.takeColour',
  place: 'tray',
  label: () => 'Take a colour here',
  shortcut: 'k',
  missing() {
    const { photo, proposal, marks, circumstances } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    if (proposal) return 'Accept the proposed marks first, or mark the card anew.'
    return noColourKnown(marks, circumstances.setupId)
  },
  async run() {
    const { photo } = useDesk.getState()
    if (photo && (await keepMarks())) go({ at: 'match', referenceId: idOfPhoto(photo.id) })
  },
  undo: 'none',
}
