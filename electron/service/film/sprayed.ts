import type { PlanRecipe, SprayedCell } from '../../../shared-core/records/film.ts'
import type { FilmStep } from '../../rack/queries/film-observations.ts'
import { sharesOfFormula } from './plan-recipe.ts'

/** Shares that were typed as other figures and mean the same. */
const alike = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-6 * Math.max(a, b)
type Mid = { id: string; coats: number } | null
const sameMid = (a: Mid, b: Mid): boolean => (a && b ? a.id === b.id && alike(a.coats, b.coats) : a === b)

/**
 * Steps that are this very recipe, in the order given: same ground, mid coats and coats, the same candies each with the same
 * share of the cup, and the finish that is asked for. Whichever gun laid them.
 */
export function sprayedCells(steps: readonly FilmStep[], { formula, ground, coats }: PlanRecipe): SprayedCell[] {
  const isBare = coats === 0 || formula.candies.length === 0
  const shares = isBare ? [] : sharesOfFormula(formula)
  const isSame = ({ dyes }: FilmStep): boolean =>
    dyes !== null &&
    dyes.length === shares.length &&
    shares.every(({ id, share }) => dyes.some((dye) => dye.id === id && alike(dye.share, share)))
  return steps.flatMap((step): SprayedCell[] => {
    if (step.ground !== ground || !alike(step.coats, isBare ? 0 : coats) || !isSame(step)) return []
    if (!sameMid(step.under, formula.under) || !sameMid(step.over, formula.over)) return []
    const { usable, cuts } = step.readings
    const reading = usable.find(({ finish }) => finish === formula.finish)
    const cut = cuts[formula.finish] ?? null
    // what was never read is shown where it was finished as asked
    if (!reading && cut === null && step.isCleared !== (formula.finish === 'cleared')) return []
    const { panelId, code, stepId } = step
    return [{ panelId, code, stepId, cut, lab: reading?.lab ?? null, bound90: reading?.bound90 ?? null }]
  })
}
