import { openSheet } from '../../state/plan-dialog.ts'
import type { Command } from '../command.ts'

export const sayWhatIsOnShelf: Command = {
  id: 'plan.sayWhatIsOnShelf',
  place: 'plan',
  label: () => 'What is on the shelf',
  shortcut: null,
  missing: () => null,
  run: () => openSheet('shelf'),
  undo: 'recorded',
}
