import { openSheet } from '../../state/plan-dialog.ts'
import type { Command } from '../command.ts'

export const chooseGrounds: Command = {
  id: 'plan.chooseGrounds',
  place: 'plan',
  label: () => 'Choose grounds',
  shortcut: 'g',
  missing: () => null,
  run: () => openSheet('grounds'),
  undo: 'none',
}
