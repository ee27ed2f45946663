import { differenceCiede2000 } from '../colour/difference.ts'
import type { Lab } from '../colour/lab.ts'
import { isOnePhoto, isOneSetup, sharesOf, type WithErrors } from './shared-errors.ts'

/** Squares of 90 % bounds in dE00: `whole` the matrix of all readings, `own` of what none has with another. */
export type Covariance = { readonly whole: number[][]; readonly own: number[] }

/**
 * How much of the errors of one photo comes back in another photo when neither names a set-up: tone and colour of the
 * camera are the same as long as it is the same camera in the same light, and no reading says that it is not. One phone's two
 * photos of one chart, each read by its grey patch, lay 1.1 apart in the median (2.1 at the 90th percentile) where each was 4
 * off: all but a few hundredths of the square of the error came back. Other days differ more, so 0.9, by judgement. What a
 * set-up leaves to a photo is that photo's own.
 */
const acrossPhotos = 0.9

/**
 * The covariance of several readings' errors, built from the parts of their bounds. What two readings share is taken as the smaller
 * of the two shares, so that what one has beyond the other counts as its own and no weight comes out below 0.
 */
export function covarianceOf(readings: readonly WithErrors[]): Covariance {
  const shares = readings.map(sharesOf)
  const common = (i: number, j: number): number => {
    const [a, b] = [readings[i]!, readings[j]!]
    const [photoA, photoB] = [shares[i]!.photo, shares[j]!.photo]
    let photo = 0
    if (isOnePhoto(a, b)) photo = 1
    else if (!a.setupId && !b.setupId) photo = acrossPhotos
    return (
      photo * Math.min(photoA, photoB) ** 2 + (isOneSetup(a, b) ? Math.min(shares[i]!.setup, shares[j]!.setup) ** 2 : 0)
    )
  }
  const whole = readings.map((reading, i) =>
    readings.map((_, j) => (i === j ? reading.bound90 ** 2 : common(Math.min(i, j), Math.max(i, j)))),
  )
  const own = readings.map((reading, i) => {
    let most = 0
    for (let j = 0; j < readings.length; j++) if (j !== i) most = Math.max(most, whole[i]![j]!)
    return readings.length === 1 ? shares[i]!.own ** 2 : reading.bound90 ** 2 - most
  })
  return { whole, own }
}

/**
 * Weights of the mean with the smallest variance: V⁻¹ 1 over the kept ones, scaled to add to 1; 0 for the others. One that
 * comes out below 0 is left at 0.
 */
export function weightsOf(v: readonly (readonly number[])[], kept: readonly number[]): number[] {
  const weights = Array.from<number>({ length: v.length }).fill(0)
  let among = kept
  for (;;) {
    const solved = solveOnes(among.map((i) => among.map((j) => v[i]![j]!)))
    const lowest = solved.reduce((best, w, at) => (w < solved[best]! ? at : best), 0)
    if (among.length > 1 && !(solved[lowest]! >= 0)) {
      among = among.filter((_, at) => at !== lowest)
      continue
    }
    const sum = solved.reduce((a, b) => a + b, 0)
    among.forEach((i, at) => {
      weights[i] = solved[at]! / sum
    })
    return weights
  }
}

/**
 * x with V x = 1, by Gaussian elimination without pivoting: V is positive definite. Two readings with one error and nothing of their
 * own leave no pivot; a hair on the diagonal shares the weight between them.
 */
function solveOnes(v: number[][]): number[] {
  const n = v.length
  const x = Array.from<number>({ length: n }).fill(1)
  for (let k = 0; k < n; k++) v[k]![k]! *= 1 + 1e-9
  for (let k = 0; k < n; k++) {
    for (let i = k + 1; i < n; i++) {
      const factor = v[i]![k]! / v[k]![k]!
      for (let j = k; j < n; j++) v[i]![j]! -= factor * v[k]![j]!
      x[i]! -= factor * x[k]!
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let j = k + 1; j < n; j++) x[k]! -= v[k]![j]! * x[j]!
    x[k]! /= v[k]![k]!
  }
  return x
}

export function meanOf(labs: readonly Lab[], weights: readonly number[]): Lab {
  let [l, a, b] = [0, 0, 0]
  labs.forEach((lab, i) => {
    l += weights[i]! * lab.l
    a += weights[i]! * lab.a
    b += weights[i]! * lab.b
  })
  return { l, a, b }
}

/** 90 % bound of the difference between one reading and a weighted mean, whether the reading is in it or not. */
export function spreadFrom(v: readonly (readonly number[])[], weights: readonly number[], i: number): number {
  let square = v[i]![i]!
  for (let j = 0; j < weights.length; j++) {
    square -= 2 * weights[j]! * v[i]![j]!
    for (let k = 0; k < weights.length; k++) square += weights[j]! * weights[k]! * v[j]![k]!
  }
  return Math.sqrt(Math.max(0, square))
}

/**
 * The square that is added to the bound of a mean because its readings scatter more than their bounds say: a variance
 * between readings by the method of moments. 0 where they scatter as expected.
 */
export function excessOf(
  v: readonly (readonly number[])[],
  weights: readonly number[],
  labs: readonly Lab[],
  mean: Lab,
): number {
  let [seen, expected, squares] = [0, 0, 0]
  weights.forEach((weight, i) => {
    if (weight === 0) return
    seen += weight * differenceCiede2000(labs[i]!, mean) ** 2
    expected += weight * spreadFrom(v, weights, i) ** 2
    squares += weight ** 2
  })
  const between = Math.max(0, seen - expected)
  return squares > 1 - 1e-9 ? 0 : (between / (1 - squares)) * squares
}
