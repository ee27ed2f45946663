import { useRackDialog } from '../../state/rack-dialog.ts'
import type { Command } from '../command.ts'
import { missingForChange } from './change-many.ts'

export const changeTags: Command = {
  id: 'chosen.changeTags',
  place: 'rack',
  label: () => 'Tags',
  shortcut: 'e',
  missing: missingForChange,
  run: () => useRackDialog.setState({ open: 'tags' }),
  undo: 'recorded',
}
