import { openSheet } from '../../state/plan-dialog.ts'
import type { Command } from '../command.ts'

export const printSprayList: Command = {
  id: 'plan.printSprayList',
  place: 'plan',
  label: () => 'Print a spray list',
  shortcut: 'Mod+p',
  missing: () => null,
  run: () => openSheet('spray-list'),
  undo: 'none',
}
