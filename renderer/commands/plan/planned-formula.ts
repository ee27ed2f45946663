import { usePlan } from '../../state/plan.ts'

/** What keeps a formula from being sprayed, in words; null when nothing does. */
export function noFormula(): string | null {
  const { formula } = usePlan.getState()
  if (!formula) return 'The rack knows no candy yet.'
  return formula.candies.length > 0 ? null : 'There is no candy in the formula: add one first.'
}
