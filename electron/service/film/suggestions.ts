import type { Lab } from '../../../shared-core/colour/lab.ts'
import { describeDifference } from '../../../shared-core/colour/words.ts'
import { midCoatsToTry } from '../../../shared-core/film/suggest/mid-coats.ts'
import type { SuggestOptions } from '../../../shared-core/film/suggest.ts'
import type {
  Gap,
  PlanRecipe,
  Prediction,
  RestsOn,
  Suggestion,
  SuggestLimits,
} from '../../../shared-core/records/film.ts'
import type { FilmRack, FilmStep } from '../../rack/queries/film-observations.ts'
import { mustKnowCandies, mustKnowGrounds, mustKnowGun } from './known-things.ts'
import { planFormula, sharesOfFormula } from './plan-recipe.ts'
import { prediction, restingOn } from './predictions.ts'
import { sprayedCells } from './sprayed.ts'
import { coatsInWords, type Names } from './words.ts'
import type { FoundGap, Suggested } from './worker/tasks.ts'

/** What the model may use. @throws Refusal `film/unknown-…` */
export function optionsOf(rack: FilmRack, limits: SuggestLimits): Omit<SuggestOptions, 'count'> {
  const { onShelfOnly, useMidCoats, grounds, candies, gunSetupId: gun, ...rest } = limits
  mustKnowGrounds(rack, grounds ?? [])
  mustKnowCandies(rack, candies ?? [])
  mustKnowGun(rack, gun)
  const onHand = onShelfOnly ? rack.candies.flatMap(({ id, onShelf }) => (onShelf ? [id] : [])) : null
  return {
    ...rest,
    gun,
    grounds,
    midCoats: useMidCoats ? midCoatsToTry(rack.library.observations) : [],
    candies: candies && onHand ? candies.filter((id) => onHand.includes(id)) : (candies ?? onHand),
  }
}

export function suggestion(rack: FilmRack, names: Names, target: Lab, found: Suggested): Suggestion {
  const { formula, coats, predicted, de00, differenceBound90, rest } = found
  const recipe: PlanRecipe = { formula: planFormula(formula), ground: formula.ground, coats }
  const said = prediction(predicted, names)
  const restsOn = restingOn(rack, rest)
  const shelf = new Set(rack.candies.flatMap(({ id, onShelf }) => (onShelf ? [id] : [])))
  return {
    recipe,
    prediction: said,
    de00,
    differenceBound90,
    words: describeDifference(target, predicted.lab),
    why: whyToTry(rack, recipe, said, restsOn),
    onShelf: formula.candies.every(({ id }) => shelf.has(id)),
    restsOn,
  }
}

export function gapOf(rack: FilmRack, names: Names, { formula, coats, predicted, nearest, nearestId }: FoundGap): Gap {
  return {
    recipe: { formula: planFormula(formula), ground: formula.ground, coats },
    prediction: prediction(predicted, names),
    nearest,
    nearestCode: (nearestId !== null && rack.stepOfReading.get(nearestId)?.code) || null,
  }
}

/** What makes it cheap or dear to try: on the rack already, between two panels, or beyond what was sprayed. */
function whyToTry(rack: FilmRack, recipe: PlanRecipe, said: Prediction, restsOn: readonly RestsOn[]): string {
  const [same] = sprayedCells(rack.steps, recipe)
  if (same) return `It is on the rack: ${same.code}.`
  const [beyond] = said.outside.words
  if (beyond !== undefined) return beyond
  const between = neighbours(rack, recipe)
  if (between) return between
  const [first, second] = [...new Set(restsOn.map(({ code }) => code))]
  if (first === undefined) return 'No panel on the rack is like it.'
  return second === undefined ? `It rests mostly on ${first}.` : `It rests mostly on ${first} and ${second}.`
}

/** Two steps of the same candies over the same ground, the next weaker and the next stronger. */
function neighbours({ steps }: FilmRack, { formula, ground, coats }: PlanRecipe): string | null {
  const shares = sharesOfFormula(formula)
  const strength = (list: readonly { share: number }[], count: number) =>
    count * list.reduce((sum, { share }) => sum + share, 0)
  const wanted = strength(shares, coats)
  const alike = steps.filter(
    (step) =>
      step.ground === ground &&
      step.readings.usable.length > 0 &&
      step.under?.id === formula.under?.id &&
      step.over?.id === formula.over?.id &&
      step.dyes !== null &&
      step.dyes.length === shares.length &&
      shares.every(({ id }) => step.dyes?.some((dye) => dye.id === id)),
  )
  const nearest = (side: (of: number) => boolean, nearer: (a: number, b: number) => number): FilmStep | undefined => {
    const own = alike.map((step) => ({ step, of: strength(step.dyes ?? [], step.coats) })).filter(({ of }) => side(of))
    return own.toSorted((a, b) => nearer(a.of, b.of))[0]?.step
  }
  const weaker = nearest(
    (of) => of <= wanted,
    (a, b) => b - a,
  )
  const stronger = nearest(
    (of) => of > wanted,
    (a, b) => a - b,
  )
  if (!weaker || !stronger) return null
  if (weaker.code === stronger.code)
    return `Between ${coatsInWords(weaker.coats)} and ${coatsInWords(stronger.coats)} of ${weaker.code}.`
  return `Between ${weaker.code} and ${stronger.code}.`
}
