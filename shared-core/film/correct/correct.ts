import { differenceCiede2000 } from '../../colour/difference.ts'
import type { Lab } from '../../colour/lab.ts'
import type { FilmFit } from '../fitted.ts'
import { type FilmFormula, recipeOfFormula } from '../formula.ts'
import { differenceBound90, predictLab, predictRecipe, slopeOf } from '../predict.ts'
import type { FilmPrediction, FilmRecipe } from '../recipe.ts'
import { type Change, changesAround } from './changes.ts'
import { type Checked, type Learned, learnFrom } from './learn.ts'
import { surenessOf } from './sure.ts'

export type CorrectOptions = {
  /** The part is sprayed: coats can only be added. */
  onSprayed: boolean
  /** Candies that may be added to the cup. */
  adds: readonly string[]
  count: number
}

export type FilmCorrection = {
  formula: FilmFormula
  coats: number
  changes: readonly Change[]
  /** As it is expected today: with the job's own strength. */
  prediction: FilmPrediction
  de00: number
  /** 90 % bound of that difference. */
  bound90: number
  /** It is nearer than the same again in nine cases of ten: the gain is above its doubt. */
  isSure: boolean
}

export type FilmCorrections = {
  learned: Learned
  /** What the same recipe, sprayed once more, is expected to give. */
  asItIs: { de00: number; bound90: number }
  /** What comes nearer than that, the best first; each another thing to do. */
  corrections: FilmCorrection[]
}

/** dE00 that each change beyond the first must earn, and that a change must gain at all: less is not seen. */
const fuss = 0.15
const leastGain = 0.2
/** 90 % point of the standard normal. */
const normal90 = 1.2815515655446004

/**
 * What to change after a check panel, so that the next comes nearer to the reference.
 * The fit has learnt from the check panel as from any other; what is peculiar to this job (strength of its batch, and an
 * error that check panel and reference share) is carried over beside it as far as it can be told from scatter.
 * @param fit     of all readings, the check panel's among them
 * @param check   the check panel's step: its formula, coats and reading
 * @param target  the reference, D50, 2°; noise: mean length in dE00 of the error that it does not share with the check panel
 * @returns       null where the fit does not know the recipe
 */
export function correctRecipe(
  fit: FilmFit,
  check: Checked & { formula: FilmFormula; coats: number },
  target: { lab: Lab; noise: number },
  options: CorrectOptions,
): FilmCorrections | null {
  const { formula, coats } = check
  const learned = learnFrom(fit, recipeOfFormula(formula, coats), check)
  if (!learned) return null
  const { shift, shiftNoise } = learned
  const aim = {
    lab: { l: target.lab.l - shift.l, a: target.lab.a - shift.a, b: target.lab.b - shift.b },
    noise: Math.hypot(target.noise, shiftNoise),
  }
  const roughly = changesAround(formula, coats, options).flatMap((changed) => {
    const recipe = today(recipeOfFormula(changed.formula, changed.coats), learned)
    const lab = predictLab(fit, recipe)
    return lab ? [{ ...changed, recipe, de00: differenceCiede2000(aim.lab, lab) }] : []
  })
  const same = roughly.find(({ changes }) => changes.length === 0)
  const asItIs = same && finished(fit, same, aim, learned, same)
  if (!asItIs) return null
  // what cannot be told of the aim makes the last tenth of a unit worth little
  const expected = ({ de00 }: { de00: number }): number => Math.hypot(de00, aim.noise)
  const cost = (one: { de00: number; changes: readonly Change[] }): number =>
    expected(one) + fuss * Math.max(0, one.changes.length - 1)
  const better = roughly
    .filter((one) => one.changes.length > 0 && expected(one) < expected(asItIs) - leastGain)
    .toSorted((a, b) => cost(a) - cost(b))
  const corrections = differentThings(better, options.count).flatMap(
    (one) => finished(fit, one, aim, learned, same) ?? [],
  )
  return {
    learned,
    asItIs: { de00: asItIs.de00, bound90: asItIs.bound90 },
    corrections,
  }
}

/** A recipe as this job's own material sprays it. */
const today = (recipe: FilmRecipe, { build }: Learned): FilmRecipe => ({
  ...recipe,
  dyes: recipe.dyes.map(({ id, load }) => ({ id, load: load * Math.exp(build) })),
})

type Rough = { formula: FilmFormula; coats: number; changes: readonly Change[]; recipe: FilmRecipe; de00: number }

function finished(
  fit: FilmFit,
  { formula, coats, changes, recipe, de00 }: Rough,
  aim: { lab: Lab; noise: number },
  { buildVariance }: Learned,
  same: Rough,
): FilmCorrection | null {
  const predicted = predictRecipe(fit, recipe)
  const slope = slopeOf(fit, recipe)
  const kept = slopeOf(fit, same.recipe)
  if (!predicted || !slope || !kept) return null
  const { perBuild } = slope
  const covariance = predicted.covariance.map(
    (value, at) => value + perBuild[Math.floor(at / 3)]! * perBuild[at % 3]! * buildVariance,
  )
  const prediction = { ...predicted, covariance }
  const isSure = surenessOf(fit, kept, slope, aim, buildVariance) > normal90
  return { formula, coats, changes, prediction, de00, bound90: differenceBound90(prediction, aim.noise), isSure }
}

/** The best of each kind of change: a coat more and half a part less are two things to do, half a part and a part are one. */
function differentThings(ranked: readonly Rough[], count: number): Rough[] {
  const seen = new Set<string>()
  const different = ranked.filter((one) => {
    const kind = one.changes
      .map((change) => `${change.what === 'candy' ? change.id : change.what} ${change.by > 0 ? 'more' : 'less'}`)
      .join(', ')
    const isNew = !seen.has(kind)
    seen.add(kind)
    return isNew
  })
  return different.slice(0, count)
}
