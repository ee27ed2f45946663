import { differenceCiede2000 } from '../../colour/difference.ts'
import { differenceFrame } from '../../colour/difference-frame.ts'
import type { Lab } from '../../colour/lab.ts'
import { framed } from '../doubt.ts'
import type { FilmFit } from '../fitted.ts'
import { predictLab, slopeOf, spreadOf } from '../predict.ts'
import { buildCovariance, meanLength, ownNoise } from '../problem.ts'
import type { FilmObservation, FilmRecipe } from '../recipe.ts'

/** What may have happened to a panel. */
export type Cause =
  | { kind: 'build'; build: number }
  | { kind: 'other-ground'; id: string }
  | { kind: 'other-candy'; from: string; to: string }
  | { kind: 'misread' }

/**
 * How common each cause is among panels that do not fit, and how far off each goes. Set by judgement: a wrong reading has no
 * pattern, so it stands wherever no other cause tells better.
 */
const common = { build: 0.35, 'other-ground': 0.2, 'other-candy': 0.2, misread: 0.25 } as const
/** ln of a film that is too thin or too thick by mistake: half or double is not rare. */
const buildMistake = 0.5
/** dE00 per direction of a reading that went wrong. */
const misreadSpread = 10

export type Difference = { expected: Lab; vector: Float64Array; covariance: Float64Array }

/** Lab difference of reading and recipe in dE00, with the covariance that both may have when the recipe is right. */
export function differenceFrom(
  fit: FilmFit,
  read: FilmObservation,
  recipe: FilmRecipe,
  factor: number,
): Difference | null {
  const built = factor === 1 ? recipe : thicker(recipe, factor)
  const slope = slopeOf(fit, built)
  if (!slope) return null
  const { lab, perBuild } = slope
  const frame = differenceFrame(lab)
  const variance = recipe.dyes.length > 0 ? buildCovariance(recipe.coats, recipe.coats, fit.scatterPerCoat) : 0
  const doubt = spreadOf(fit, slope)
  perBuild.forEach((a, c) => {
    perBuild.forEach((b, d) => {
      doubt[3 * c + d]! += a * b * variance
    })
  })
  const covariance = framed(frame, doubt)
  const own = Math.hypot(ownNoise(read), ...read.shared.map(({ noise }) => noise)) / meanLength
  for (let c = 0; c < 3; c++) covariance[4 * c]! += own ** 2
  return { expected: lab, vector: framedDifference(frame, read.lab, lab), covariance }
}

const thicker = (recipe: FilmRecipe, factor: number): FilmRecipe => ({
  ...recipe,
  dyes: recipe.dyes.map(({ id, load }) => ({ id, load: load * factor })),
})

/** The direction of a difference in the frame, and as long as CIEDE2000 says: the frame alone overstates large ones. */
function framedDifference(frame: Float64Array, read: Lab, expected: Lab): Float64Array {
  const [dl, da, db] = [read.l - expected.l, read.a - expected.a, read.b - expected.b]
  const vector = Float64Array.from(
    [0, 1, 2],
    (c) => frame[3 * c]! * dl + frame[3 * c + 1]! * da + frame[3 * c + 2]! * db,
  )
  const long = Math.hypot(...vector)
  return long > 0 ? vector.map((value) => (value * differenceCiede2000(read, expected)) / long) : vector
}

/** ln of a normal density of three, without the constant that all have. */
function logDensity({ vector, covariance }: Pick<Difference, 'vector' | 'covariance'>, more = 0): number {
  const [a, b, c] = [covariance[0]! + more, covariance[1]!, covariance[2]!]
  const [e, f] = [covariance[4]! + more, covariance[5]!]
  const i = covariance[8]! + more
  const l00 = Math.sqrt(a)
  const l10 = b / l00
  const l20 = c / l00
  const l11 = Math.sqrt(Math.max(e - l10 * l10, 1e-9))
  const l21 = (f - l20 * l10) / l11
  const l22 = Math.sqrt(Math.max(i - l20 * l20 - l21 * l21, 1e-9))
  const y0 = vector[0]! / l00
  const y1 = (vector[1]! - l10 * y0) / l11
  const y2 = (vector[2]! - l20 * y0 - l21 * y1) / l22
  return -(y0 * y0 + y1 * y1 + y2 * y2) / 2 - Math.log(l00 * l11 * l22)
}

type Weighed = { cause: Cause; log: number }

/**
 * The likeliest cause for readings of one panel that do not fit: each is weighed by how well it tells all of them together.
 * @param reads  readings of the panel, those that fit too: a wrong ground would show in all of them
 */
export function likeliestCause(fit: FilmFit, reads: readonly FilmObservation[]): Cause {
  const together = (recipeOf: (read: FilmObservation) => FilmRecipe, factor = 1): number => {
    let sum = 0
    for (const read of reads) {
      const difference = differenceFrom(fit, read, recipeOf(read), factor)
      if (!difference) return Number.NEGATIVE_INFINITY
      sum += logDensity(difference)
    }
    return sum
  }
  const misread = reads.reduce((sum, read) => {
    const difference = differenceFrom(fit, read, read, 1)
    if (!difference) return sum
    // one reading that went wrong leaves the others as they are
    return sum + Math.max(logDensity(difference, misreadSpread ** 2), logDensity(difference) - 1)
  }, 0)
  const found: Weighed[] = [
    { cause: { kind: 'misread' }, log: misread + Math.log(common.misread) },
    ...buildCauses(together),
    ...groundCauses(fit, reads, together),
    ...candyCauses(fit, reads, together),
  ]
  return found.reduce((best, one) => (one.log > best.log ? one : best)).cause
}

type Together = (recipeOf: (read: FilmObservation) => FilmRecipe, factor?: number) => number

function buildCauses(together: Together): Weighed[] {
  const step = 0.05
  const tried: { ln: number; log: number }[] = []
  for (let k = -32; k <= 32; k++) {
    const ln = k * step
    // a film as thick as it should be is no cause
    if (Math.abs(ln) < 0.1) continue
    const prior = -((ln / buildMistake) ** 2) / 2 - Math.log(buildMistake * Math.sqrt(2 * Math.PI))
    tried.push({ ln, log: together((read) => read, Math.exp(ln)) + prior + Math.log(step) })
  }
  const best = tried.reduce((most, one) => (one.log > most.log ? one : most))
  // over all builds, so that one free number does not pass for a better cause
  const sum = tried.reduce((all, { log }) => all + Math.exp(log - best.log), 0)
  if (!Number.isFinite(best.log)) return []
  return [
    { cause: { kind: 'build', build: Math.exp(best.ln) }, log: best.log + Math.log(sum) + Math.log(common.build) },
  ]
}

function groundCauses(fit: FilmFit, reads: readonly FilmObservation[], together: Together): Weighed[] {
  const own = new Set(reads.map(({ ground }) => ground))
  if (own.size !== 1) return []
  const others = [...fit.grounds.keys()].filter((id) => !own.has(id))
  const each = Math.log(common['other-ground'] / Math.max(1, others.length))
  return others.map((id) => ({
    cause: { kind: 'other-ground', id },
    log: together((read) => ({ ...read, ground: id })) + each,
  }))
}

function candyCauses(fit: FilmFit, reads: readonly FilmObservation[], together: Together): Weighed[] {
  const used = [...new Set(reads.flatMap(({ dyes }) => dyes.map(({ id }) => id)))]
  const others = [...fit.absorbance.keys()].filter((id) => !used.includes(id))
  const each = Math.log(common['other-candy'] / Math.max(1, others.length * used.length))
  return used.flatMap((from) =>
    others.map((to) => ({
      cause: { kind: 'other-candy' as const, from, to },
      log:
        together((read) => ({
          ...read,
          dyes: read.dyes.map(({ id, load }) => ({ id: id === from ? to : id, load })),
        })) + each,
    })),
  )
}

/** How far a reading is from what a cause would give, in dE00. */
export function leftOver(fit: FilmFit, read: FilmObservation, cause: Cause): number {
  const recipe = caused(read, cause)
  const lab = recipe && predictLab(fit, recipe)
  return lab ? differenceCiede2000(read.lab, lab) : Number.POSITIVE_INFINITY
}

function caused(read: FilmObservation, cause: Cause): FilmRecipe | null {
  switch (cause.kind) {
    case 'build':
      return thicker(read, cause.build)
    case 'other-ground':
      return { ...read, ground: cause.id }
    case 'other-candy':
      return { ...read, dyes: read.dyes.map(({ id, load }) => ({ id: id === cause.from ? cause.to : id, load })) }
    case 'misread':
      return null
  }
}
