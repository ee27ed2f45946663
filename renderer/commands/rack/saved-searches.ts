import { useRackDialog } from '../../state/rack-dialog.ts'
import type { Command } from '../command.ts'

export const savedSearches: Command = {
  id: 'rack.savedSearches',
  place: 'rack',
  label: () => 'Saved searches',
  shortcut: 's',
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => useRackDialog.setState({ open: 'searches' }),
  undo: 'none',
}
