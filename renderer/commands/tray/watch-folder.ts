import { showWatched } from '../../state/watched.ts'
import type { Command } from '../command.ts'

/** Photos that a camera's card or a synchronised folder brings. */
export const watchFolder: Command = {
  id: 'tray.watchFolder',
  place: 'tray',
  label: () => 'Watch a folder',
  shortcut: null,
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: showWatched,
  undo: 'none',
  leadsToChange: true,
}
