import { openSheet } from '../../state/plan-dialog.ts'
import type { Command } from '../command.ts'
import { noFormula } from './planned-formula.ts'

export const putOnList: Command = {
  id: 'plan.putOnList',
  place: 'plan',
  label: () => 'Put on the list',
  shortcut: 'l',
  missing: () => noFormula(),
  run: () => openSheet('put-on-list'),
  undo: 'recorded',
}
