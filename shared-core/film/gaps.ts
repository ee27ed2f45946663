import { differenceCiede2000 } from '../colour/difference.ts'
import type { Lab } from '../colour/lab.ts'
import type { FilmFit } from './fitted.ts'
import { type FilmFormula, recipeOfFormula } from './formula.ts'
import { between, nearestOf, placeOf } from './gaps/places.ts'
import { type Sample, samplesOf } from './gaps/samples.ts'
import { predictRecipe } from './predict.ts'
import type { FilmPrediction, FilmRecipe } from './recipe.ts'
import { fussOf } from './suggest/whole-numbers.ts'
import type { SuggestOptions } from './suggest.ts'

export type FilmGap = {
  formula: FilmFormula
  coats: number
  recipe: FilmRecipe
  prediction: FilmPrediction
  /** dE00 to the nearest reading, and its id. */
  nearest: number
  nearestId: string
}

/** A colour that is uncertain by more than this 90 % bound in dE00 is a guess, not a gap. Set by judgement. */
const widestBound = 5
/** Nearer than this to a reading, or to another gap, a colour is no gap: clearly another colour starts here. */
const leastDistance = 2
/** Darker than this L*, colours can hardly be told apart on a panel. Set by judgement. */
const darkest = 8
/** Formulas whose colour lies so near that of a gap serve as well, dE00: the simplest is taken. */
const asGood = 1

/**
 * Colours that the materials could make under clear and no reading shows, the widest gaps first: of all formulas the one
 * farthest from every reading, then the one farthest from every reading and that one, and so on.
 * @param options  what may be used, as for suggestions; at most two candies are tried together
 * @returns        at most `count`; fewer where the colours within reach are shown
 */
export function findGaps(fit: FilmFit, options: SuggestOptions): FilmGap[] {
  const samples = samplesOf(fit, options).filter(({ lab }) => lab.l >= darkest)
  const places = samples.map(({ lab }) => placeOf(lab))
  const cleared = fit.observations.filter(({ finish }) => finish === 'cleared')
  const shown = cleared.length > 0 ? cleared : fit.observations
  const distances = nearestOf(
    places,
    shown.map(({ lab }) => placeOf(lab)),
  )
  const gaps: FilmGap[] = []
  // a pick in the plain space may lie nearer in CIEDE2000, or be a guess: so many are looked at for each gap
  for (let tries = 0; gaps.length < options.count && tries < 12 * options.count + 40; tries++) {
    let at = -1
    for (let i = 0; i < samples.length; i++) if (at < 0 || distances[i]! > distances[at]!) at = i
    if (at < 0 || !(distances[at]! > leastDistance / 2)) break
    const wanted = samples[at]!
    const gap = gapAt(fit, simplestNear(samples, wanted.lab), shown, gaps)
    // whatever became of it, it is not looked at again, nor what looks like it
    for (let i = 0; i < samples.length; i++) {
      const distance = between(places[i]!, places[at]!)
      if (gap) distances[i] = Math.min(distances[i]!, distance)
      else if (distance < leastDistance / 2) distances[i] = 0
    }
    if (gap) gaps.push(gap)
  }
  return gaps.toSorted((a, b) => b.nearest - a.nearest)
}

/** The formula with the least trouble among those that look like this colour. */
function simplestNear(samples: readonly Sample[], lab: Lab): Sample {
  let best: Sample | null = null
  let least = Number.POSITIVE_INFINITY
  for (const sample of samples) {
    if (Math.abs(sample.lab.l - lab.l) > 3 * asGood) continue
    const trouble = fussOf(
      sample.formula.candies.map(({ parts }) => parts),
      sample.coats,
    )
    if (trouble >= least || differenceCiede2000(sample.lab, lab) > asGood) continue
    least = trouble
    best = sample
  }
  if (!best) throw new RangeError('A sample looks like itself.')
  return best
}

/** @returns null where it is shown already, in CIEDE2000, or where it is a guess */
function gapAt(
  fit: FilmFit,
  { formula, coats }: Sample,
  shown: FilmFit['observations'],
  gaps: readonly FilmGap[],
): FilmGap | null {
  const recipe = recipeOfFormula(formula, coats)
  const prediction = predictRecipe(fit, recipe)
  if (!prediction || prediction.bound90 > widestBound) return null
  const isNear = gaps.some((gap) => differenceCiede2000(gap.prediction.lab, prediction.lab) < leastDistance)
  if (isNear) return null
  let nearest = Number.POSITIVE_INFINITY
  let nearestId = ''
  for (const { id, lab } of shown) {
    const de00 = differenceCiede2000(lab, prediction.lab)
    if (de00 < nearest) [nearest, nearestId] = [de00, id]
  }
  if (nearest < leastDistance) return null
  return { formula, coats, recipe, prediction, nearest, nearestId }
}
