import { usePlan } from '../../state/plan.ts'
import { openSheet } from '../../state/plan-dialog.ts'
import type { Command } from '../command.ts'

/** As many as a formula holds. */
const mostCandies = 6

export const addCandy: Command = {
  id: 'plan.addCandy',
  place: 'plan',
  label: () => 'Add a candy',
  shortcut: 'a',
  missing() {
    const { formula } = usePlan.getState()
    if (!formula) return 'The rack knows no candy yet.'
    return formula.candies.length < mostCandies ? null : 'Six candies are the most that a formula holds.'
  },
  run: () => openSheet('add-candy'),
  undo: 'none',
}
