import { useMatch } from '../../screens/match/match-state.ts'
import { shownGrounds } from '../../screens/plan/first-formula.ts'
import { chooseCell, planOfRack, usePlan } from '../../state/plan.ts'
import { planAddress } from '../../state/plan-address.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const setInPlan: Command = {
  id: 'match.setInPlan',
  place: 'match',
  label: () => 'Set in Plan',
  /** Enter as well, while the list has the focus. */
  shortcut: 'l',
  missing: () => (useMatch.getState().predicted === null ? 'Choose a prediction first.' : null),
  run({ rack, route }) {
    const { predicted } = useMatch.getState()
    if (predicted === null || !rack) return
    const { formula, ground, coats } = predicted.suggestion.recipe
    planOfRack(rack.folder)
    chooseCell(
      { ground, coats },
      shownGrounds(predicted.knows, usePlan.getState().grounds).map(({ id }) => id),
    )
    go(planAddress(formula, route.at === 'match' ? route.referenceId : null))
  },
  undo: 'none',
}
