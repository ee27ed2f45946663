import { differenceCiede2000 } from '../colour/difference.ts'
import { differenceFrame } from '../colour/difference-frame.ts'
import type { Lab } from '../colour/lab.ts'
import { framed } from './doubt.ts'
import type { FilmFit } from './fitted.ts'
import { recipeOfFormula } from './formula.ts'
import { differenceBound90, predictRecipe, stateOf } from './predict.ts'
import type { FilmPrediction, FilmRecipe } from './recipe.ts'
import { differentIdeas, type Ranked } from './suggest/ideas.ts'
import type { LoadRange } from './suggest/loads.ts'
import type { MidCoatTried } from './suggest/mid-coats.ts'
import { type NothingNear, nearBelow, nothingKnown, whyNothingNear } from './suggest/nothing-near.ts'
import { type OverGround, overGround } from './suggest/over-ground.ts'
import { type Dye, type Idea, searchOver } from './suggest/search.ts'
import { fussOf, loadOfBlend, type WholeLimits, wholeNumbers } from './suggest/whole-numbers.ts'

/** What suggestions may use, and whole numbers for it. */
export type SuggestOptions = {
  /** Null: all that the fit knows; ids that it does not know are passed over. */
  grounds: readonly string[] | null
  candies: readonly string[] | null
  /** 1 to 3. */
  maxCandies: number
  maxParts: number
  maxCoats: number
  /** Parts of carrier to one of blend. */
  carrierFrom: number
  carrierTo: number
  reducerPercent: number
  hardenerPercent: number
  /** Null: the commonest set-up. */
  gun: string | null
  /** Mid coats to try beside none, see `midCoatsToTry`; over each with two candies at most. */
  midCoats?: readonly MidCoatTried[]
  /** How many ideas at most. */
  count: number
}

export type FilmSuggestion = Ranked & {
  recipe: FilmRecipe
  prediction: FilmPrediction
  /** Predicted difference from the target. */
  de00: number
  /** 90 % bound of that difference's own doubt, with the target's. */
  differenceBound90: number
}

export type FilmSuggestions = {
  /** The best first, each another idea. */
  suggestions: FilmSuggestion[]
  /** Null when something comes near. */
  nothingNear: NothingNear | null
  /** Sets of candies that were tried, over all grounds. */
  considered: number
}

/** A mid coat takes the place of a third candy. */
const mostOverMidCoat = 2
/** What the trouble of one is worth, in dE00. Set by judgement. */
const midCoatFuss = 0.3
const midCoatsOf = ({ under, over }: OverGround['on']): number => (under ? 1 : 0) + (over ? 1 : 0)

/** Ideas whose doubt is worked out, and of these the ones that are brought to whole numbers. */
const mostDoubted = 400
const mostFinished = 80
/** So many of each ground are among them, so that a ground that is nearly as good is not crowded out. */
const ofEachGround = 6

/**
 * Formulas in whole numbers that come near a colour under clear.
 * @param target  D50, 2°; noise: mean length in dE00 of its own error
 * @returns       never throws; no suggestion where the fit knows none of the grounds or candies
 */
export function suggest(fit: FilmFit, target: { lab: Lab; noise: number }, options: SuggestOptions): FilmSuggestions {
  const dyes: Dye[] = [...fit.absorbance]
    .filter(([id]) => options.candies === null || options.candies.includes(id))
    .map(([id, absorbance]) => ({ id, absorbance }))
  const grounds = groundsFor(fit, options)
  if (grounds.length === 0) return { suggestions: [], nothingNear: nothingKnown, considered: 0 }
  const limits = limitsOf(options)
  const range = {
    least: loadOfBlend(1, limits.carrierTo, limits),
    most: loadOfBlend(limits.maxCoats, limits.carrierFrom, limits),
  }
  const ideas: Idea[] = []
  let considered = 0
  for (const over of grounds) {
    const mostDyes = midCoatsOf(over.on) > 0 ? Math.min(mostOverMidCoat, options.maxCandies) : options.maxCandies
    const found = searchOver(over, dyes, mostDyes, range, target.lab)
    considered += found.tried
    for (const idea of found.ideas) ideas.push(idea)
  }
  const ranked = [
    ...grounds.map((over) => finished(fit, target, options, over, [], null)),
    ...promising(fit, target, ideas).map(({ idea, doubt }) => {
      const whole = wholeNumbers(idea, target.lab, limits, doubt)
      return whole && finished(fit, target, options, idea.over, idea.dyes, whole)
    }),
  ].filter((one) => one !== null)
  const nearest = ranked.reduce<FilmSuggestion | null>(
    (best, one) => (best && best.de00 <= one.de00 ? best : one),
    null,
  )
  const nothingNear = hindrance(nearest, target, dyes.length > 0, range)
  // where something comes near, what does not is no suggestion; where nothing does, all come as near as may be
  const farthest = nearest && !nothingNear ? nearest.de00 + nearBelow : Number.POSITIVE_INFINITY
  const suggestions = differentIdeas(
    ranked.filter(({ de00 }) => de00 <= farthest),
    options.count,
  )
  return { suggestions, nothingNear, considered }
}

function hindrance(
  nearest: FilmSuggestion | null,
  { lab, noise }: { lab: Lab; noise: number },
  isCandyKnown: boolean,
  range: LoadRange,
): NothingNear | null {
  if (nearest && nearest.de00 < Math.max(nearBelow, noise)) return null
  if (!nearest || !isCandyKnown) return nothingKnown
  return whyNothingNear(lab, nearest.prediction.lab, edgeOf(nearest, range))
}

const limitsOf = (options: SuggestOptions): WholeLimits => ({
  ...options,
  carrierTo: Math.max(options.carrierFrom, options.carrierTo),
  thinned: 1 + (options.reducerPercent + options.hardenerPercent) / 100,
})

function groundsFor(fit: FilmFit, { grounds, gun, midCoats = [] }: SuggestOptions): OverGround[] {
  const state = stateOf(fit)
  const plain = [...fit.grounds.keys()]
    .filter((id) => grounds === null || grounds.includes(id))
    .map((ground) => ({ ground, under: null, over: null, gun, finish: 'cleared' as const }))
  const all: OverGround['on'][] = plain.flatMap((on) => [
    on,
    ...midCoats.map(({ place, id, coats }) => ({ ...on, [place]: { id, coats } })),
  ])
  return all.map((on) => overGround(state, on)).filter((over) => over !== null)
}

/** Root of the summed variances of a prediction in dE00, with the target's own error. */
function doubtOf({ lab, covariance }: FilmPrediction, noise: number): number {
  const own = framed(differenceFrame(lab), covariance)
  return Math.sqrt(own[0]! + own[4]! + own[8]! + noise ** 2)
}

/** Ideas that may come to the top, with the doubt of each. */
function promising(
  fit: FilmFit,
  target: { lab: Lab; noise: number },
  ideas: readonly Idea[],
): { idea: Idea; doubt: number }[] {
  const roughly = ({ over, de00, dyes }: Idea) =>
    de00 +
    midCoatFuss * midCoatsOf(over.on) +
    fussOf(
      dyes.map(() => 1),
      0,
    )
  const inOrder = ideas.map((idea) => ({ idea, by: roughly(idea) })).toSorted((a, b) => a.by - b.by)
  const doubted = firstOf(inOrder, mostDoubted).flatMap(({ idea, by }) => {
    const dyes = idea.dyes.map(({ id }, j) => ({ id, load: idea.loads[j]! }))
    // coats matter to what the next panel reads, not to this doubt
    const prediction = predictRecipe(fit, { ...idea.over.on, dyes, coats: 1 })
    if (!prediction) return []
    const doubt = doubtOf(prediction, target.noise)
    return [{ idea, doubt, rating: Math.hypot(idea.de00, doubt) + by - idea.de00 }]
  })
  return firstOf(
    doubted.toSorted((a, b) => a.rating - b.rating),
    mostFinished,
  )
}

/** The first so many, and the first few of every ground. */
function firstOf<T extends { idea: Idea }>(inOrder: readonly T[], count: number): T[] {
  const seen = new Map<OverGround, number>()
  return inOrder.filter(({ idea: { over } }, i) => {
    const before = seen.get(over) ?? 0
    seen.set(over, before + 1)
    return i < count || before < ofEachGround
  })
}

function finished(
  fit: FilmFit,
  target: { lab: Lab; noise: number },
  options: SuggestOptions,
  over: OverGround,
  dyes: readonly Dye[],
  whole: { parts: readonly number[]; carrierParts: number; coats: number } | null,
): FilmSuggestion | null {
  const { reducerPercent, hardenerPercent } = options
  // by amount, so that the order in which candies were given does not show
  const candies = dyes
    .map(({ id }, j) => ({ id, parts: whole?.parts[j] ?? 0 }))
    .toSorted((a, b) => b.parts - a.parts || (a.id < b.id ? -1 : 1))
  const carrierParts = whole?.carrierParts ?? options.carrierFrom
  const formula = { ...over.on, candies, carrierParts, reducerPercent, hardenerPercent }
  const coats = whole?.coats ?? 0
  const recipe = recipeOfFormula(formula, coats)
  const prediction = predictRecipe(fit, recipe)
  if (!prediction) return null
  const de00 = differenceCiede2000(target.lab, prediction.lab)
  return {
    formula,
    coats,
    recipe,
    prediction,
    de00,
    differenceBound90: differenceBound90(prediction, target.noise),
    rating:
      Math.hypot(de00, doubtOf(prediction, target.noise)) +
      midCoatFuss * midCoatsOf(over.on) +
      fussOf(
        candies.map(({ parts }) => parts),
        coats,
      ),
    shares: sharesOf(fit, recipe),
  }
}

/** How much of a film's absorbance each dye makes; the bare ground is of itself. */
function sharesOf(fit: FilmFit, { dyes }: FilmRecipe): Map<string, number> {
  if (dyes.length === 0) return new Map([['', 1]])
  const strengths = dyes.map(({ id, load }) => {
    const absorbance = fit.absorbance.get(id)
    return absorbance ? load * absorbance.reduce((sum, value) => sum + value, 0) : 0
  })
  const all = strengths.reduce((sum, value) => sum + value, 0)
  return new Map(dyes.map(({ id }, j) => [id, strengths[j]! / all]))
}

/** Whether a formula stands at the end of what the cup and the coats allow. */
function edgeOf({ recipe }: FilmSuggestion, { least, most }: LoadRange): 'full' | 'thin' | null {
  if (recipe.dyes.length === 0) return null
  const load = recipe.dyes.reduce((sum, dye) => sum + dye.load, 0)
  if (load > 0.9 * most) return 'full'
  return load < 1.1 * least ? 'thin' : null
}
