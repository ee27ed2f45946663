import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const addPhotos: Command = {
  id: 'rack.addPhotos',
  place: 'rack',
  label: () => 'Add photos',
  shortcut: 't',
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => go({ at: 'tray', photoId: null }),
  undo: 'none',
  leadsToChange: true,
}
