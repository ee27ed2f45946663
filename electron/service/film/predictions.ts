import type { FilmRecipe } from '../../../shared-core/film/recipe.ts'
import type { Prediction, RestsOn } from '../../../shared-core/records/film.ts'
import type { FilmRack } from '../../rack/queries/film-observations.ts'
import { knowsNothing, unread } from './refusals.ts'
import { type Names, outsideInWords } from './words.ts'
import type { Predicted, Rest } from './worker/tasks.ts'

export const prediction = ({ lab, bound90, nextPanel90, outside }: Predicted, names: Names): Prediction => ({
  lab,
  bound90,
  nextPanel90,
  outside: outsideInWords(outside, names),
})

/** Several readings of one step count as that step. */
export function restingOn({ stepOfReading }: FilmRack, rest: readonly Rest[]): RestsOn[] {
  const steps = new Map<string, RestsOn>()
  for (const { id, weight } of rest) {
    const step = stepOfReading.get(id)
    if (!step) continue
    const { panelId, code, stepId } = step
    const before = steps.get(stepId)?.weight ?? 0
    steps.set(stepId, { panelId, code, stepId, weight: Math.min(1, before + weight) })
  }
  return [...steps.values()].toSorted((a, b) => b.weight - a.weight)
}

/** @throws Refusal `film/knows-nothing` where no candy was read at all */
export function mustKnowSomething({ library }: FilmRack): void {
  if (!library.observations.some(({ dyes }) => dyes.length > 0)) throw knowsNothing()
}

/** Which thing of a recipe stands on panels and on none that was read. */
export function unreadThing({ library, grounds, candies }: FilmRack, { ground, dyes }: FilmRecipe) {
  const { observations } = library
  if (!observations.some((seen) => seen.ground === ground))
    return unread('ground', grounds.find(({ id }) => id === ground)?.name ?? ground)
  const dye = dyes.find(({ id }) => !observations.some((seen) => seen.dyes.some((other) => other.id === id)))
  if (dye) return unread('candy', candies.find(({ id }) => id === dye.id)?.name ?? 'this candy')
  return unread('mid-coat', 'this mid coat')
}
