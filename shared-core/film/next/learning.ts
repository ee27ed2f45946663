import { differenceFrame } from '../../colour/difference-frame.ts'
import { factorise } from '../cholesky.ts'
import { framed, lengthBound90 } from '../doubt.ts'
import type { FilmFit } from '../fitted.ts'
import { predictRecipe, slopeOf } from '../predict.ts'
import { buildCovariance, meanLength, modelNoise } from '../problem.ts'
import type { FilmRecipe } from '../recipe.ts'

/** A recipe's colour in dE00 as a linear function of the unknowns: three rows over `columns`. */
type Linear = { columns: Int32Array; rows: Float64Array; perBuild: Float64Array }

function linearOf(fit: FilmFit, recipe: FilmRecipe): Linear | null {
  const slope = slopeOf(fit, recipe)
  if (!slope) return null
  const { columns, rows: own, lab } = slope
  const frame = differenceFrame(lab)
  const width = columns.length
  const rows = new Float64Array(3 * width)
  const perBuild = new Float64Array(3)
  for (let c = 0; c < 3; c++) {
    for (let d = 0; d < 3; d++) {
      const by = frame[3 * c + d]!
      if (by === 0) continue
      for (let k = 0; k < width; k++) rows[c * width + k]! += by * own[d * width + k]!
      perBuild[c]! += by * slope.perBuild[d]!
    }
  }
  return { columns, rows, perBuild }
}

/** What one panel's readings will tell of the unknowns: rows of all its steps, and the error of those readings. */
export type Lesson = { steps: Linear[]; error: Float64Array }

/**
 * @param steps   the panel's steps; they share mixing and the coats that they have in common
 * @param shared  mean dE00 that readings of one photo are wrong by together
 */
export function lessonOf(fit: FilmFit, steps: readonly FilmRecipe[], shared: number): Lesson | null {
  const linear = steps.map((step) => linearOf(fit, step)).filter((one) => one !== null)
  if (linear.length < steps.length || linear.length === 0) return null
  const size = 3 * linear.length
  const error = new Float64Array(size * size)
  const own = (Math.hypot(fit.ownNoise, modelNoise) / meanLength) ** 2
  const common = (shared / meanLength) ** 2
  linear.forEach((a, i) => {
    linear.forEach((b, j) => {
      const [coatsA, coatsB] = [steps[i]!, steps[j]!].map(({ dyes, coats }) => (dyes.length > 0 ? coats : 0))
      const build = buildCovariance(coatsA!, coatsB!, fit.scatterPerCoat)
      for (let c = 0; c < 3; c++)
        for (let d = 0; d < 3; d++)
          error[(3 * i + c) * size + 3 * j + d] =
            a.perBuild[c]! * b.perBuild[d]! * build + (c === d ? common + (i === j ? own : 0) : 0)
    })
  })
  return { steps: linear, error }
}

/** How a lesson changes what is known: Σ becomes Σ − T Tᵀ, T with a column for each number that is read. */
export type Lessened = { size: number; turned: Float64Array }

/** @param n  number of unknowns */
export function lessen(covariance: Float64Array, n: number, { steps, error }: Lesson): Lessened | null {
  const size = 3 * steps.length
  // Σ Hᵀ, one row of n for each number read
  const pulled = new Float64Array(size * n)
  steps.forEach(({ columns, rows }, s) => {
    const width = columns.length
    for (let k = 0; k < width; k++) {
      const from = columns[k]! * n
      for (let c = 0; c < 3; c++) {
        const by = rows[c * width + k]!
        if (by === 0) continue
        const to = (3 * s + c) * n
        for (let l = 0; l < n; l++) pulled[to + l]! += by * covariance[from + l]!
      }
    }
  })
  const inner = error.slice()
  steps.forEach(({ columns, rows }, s) => {
    const width = columns.length
    for (let c = 0; c < 3; c++)
      for (let j = 0; j < size; j++) {
        let sum = 0
        for (let k = 0; k < width; k++) sum += rows[c * width + k]! * pulled[j * n + columns[k]!]!
        inner[(3 * s + c) * size + j]! += sum
      }
  })
  if (!factorise(inner, size)) return null
  // T = Σ Hᵀ L⁻ᵀ, row by row
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < i; j++) {
      const by = inner[i * size + j]!
      if (by === 0) continue
      for (let l = 0; l < n; l++) pulled[i * n + l]! -= by * pulled[j * n + l]!
    }
    const by = 1 / inner[i * size + i]!
    for (let l = 0; l < n; l++) pulled[i * n + l]! *= by
  }
  return { size, turned: pulled }
}

/** Σ − T Tᵀ */
export function afterLesson(covariance: Float64Array, n: number, { size, turned }: Lessened): Float64Array {
  const after = covariance.slice()
  for (let j = 0; j < size; j++) {
    const row = turned.subarray(j * n, (j + 1) * n)
    for (let i = 0; i < n; i++) {
      const by = row[i]!
      if (by === 0) continue
      for (let l = 0; l < n; l++) after[i * n + l]! -= by * row[l]!
    }
  }
  return after
}

/** A recipe whose bound is to fall. */
export type Watched = { linear: Linear; weight: number; covariance: Float64Array; bound: number }

/** The covariance of "what this formula gives" in dE00, and its bound, as `predictRecipe` says it. */
export function watch(fit: FilmFit, recipe: FilmRecipe, weight: number): Watched | null {
  const linear = linearOf(fit, recipe)
  const prediction = predictRecipe(fit, recipe)
  if (!linear || !prediction) return null
  const covariance = framed(differenceFrame(prediction.lab), prediction.covariance)
  for (let c = 0; c < 3; c++) covariance[4 * c]! += (prediction.noise / meanLength) ** 2
  return { linear, weight, covariance, bound: prediction.bound90 }
}

const fallen = new Float64Array(9)
const toldOf = new Float64Array(3)

/** Weighted sum of the bounds after a lesson. */
export function boundsAfter(watched: readonly Watched[], n: number, { size, turned }: Lessened): number {
  let sum = 0
  for (const { linear, weight, covariance } of watched) {
    const { columns, rows } = linear
    const width = columns.length
    fallen.set(covariance)
    for (let j = 0; j < size; j++) {
      const from = j * n
      let t0 = 0
      let t1 = 0
      let t2 = 0
      for (let k = 0; k < width; k++) {
        const value = turned[from + columns[k]!]!
        t0 += rows[k]! * value
        t1 += rows[width + k]! * value
        t2 += rows[2 * width + k]! * value
      }
      toldOf[0] = t0
      toldOf[1] = t1
      toldOf[2] = t2
      for (let c = 0; c < 3; c++) for (let d = 0; d < 3; d++) fallen[3 * c + d]! -= toldOf[c]! * toldOf[d]!
    }
    sum += weight * lengthBound90(fallen)
  }
  return sum
}
