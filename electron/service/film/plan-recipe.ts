import { blendShare, type FilmFormula, recipeOfFormula } from '../../../shared-core/film/formula.ts'
import type { FilmRecipe } from '../../../shared-core/film/recipe.ts'
import type { PlanFormula, PlanRecipe } from '../../../shared-core/records/film.ts'

/** A plan's formula over a ground, as the film model has it; a candy that is named twice counts once. */
export function filmFormula(formula: PlanFormula, ground: string): FilmFormula {
  const { gunSetupId: gun, candies, ...rest } = formula
  const parts = new Map<string, number>()
  for (const candy of candies) parts.set(candy.id, (parts.get(candy.id) ?? 0) + candy.parts)
  return { ...rest, gun, ground, candies: [...parts].map(([id, amount]) => ({ id, parts: amount })) }
}

/** And back: what the model thought of, for the page. */
export function planFormula(formula: FilmFormula): PlanFormula {
  const { carrierParts, reducerPercent, hardenerPercent, under, over, gun: gunSetupId, finish } = formula
  const candies = formula.candies.map(({ id, parts }) => ({ id, parts }))
  return { candies, carrierParts, reducerPercent, hardenerPercent, under, over, gunSetupId, finish }
}

/** A plan's recipe as the film model takes it. Without coats, or without candy, it is the bare ground. */
export const filmRecipe = ({ formula, ground, coats }: PlanRecipe): FilmRecipe =>
  recipeOfFormula(filmFormula(formula, ground), coats)

/** Each candy's share of the whole cup by volume, with carrier, reducer and hardener counted. */
export function sharesOfFormula(formula: PlanFormula): { id: string; share: number }[] {
  const { candies } = filmFormula(formula, '')
  const all = candies.reduce((sum, { parts }) => sum + parts, 0)
  const blend = blendShare(formula)
  return candies.map(({ id, parts }) => ({ id, share: (parts / all) * blend }))
}
