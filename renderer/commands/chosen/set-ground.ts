import { useRackDialog } from '../../state/rack-dialog.ts'
import type { Command } from '../command.ts'
import { missingForChange } from './change-many.ts'

export const setGround: Command = {
  id: 'chosen.setGround',
  place: 'rack',
  label: () => 'Ground',
  shortcut: null,
  missing: missingForChange,
  run: () => useRackDialog.setState({ open: 'ground' }),
  undo: 'recorded',
}
