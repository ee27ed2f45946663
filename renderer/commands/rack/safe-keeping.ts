import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

/** Backups, the rack as one file, looking whether everything is whole, and its history. */
export const safeKeeping: Command = {
  id: 'rack.safeKeeping',
  place: 'rack',
  label: () => 'Safe keeping',
  shortcut: null,
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => go({ at: 'care', page: 'backups' }),
  undo: 'none',
}
