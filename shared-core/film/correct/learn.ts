import { differenceFrame } from '../../colour/difference-frame.ts'
import type { Lab } from '../../colour/lab.ts'
import { framed } from '../doubt.ts'
import type { FilmFit } from '../fitted.ts'
import { formulaNoiseOf, slopeOf, spreadOf } from '../predict.ts'
import { buildCovariance, meanLength } from '../problem.ts'
import type { FilmRecipe } from '../recipe.ts'

/**
 * ln of film build by which one job differs from the rack as long as it lasts: this batch of concentrate, this gun, this
 * hand, this weather. Common practice, no source: batches of one concentrate differ by five to ten percent in strength.
 */
export const dayScatter = 0.08

/** A check panel's colour. Noises are mean lengths in dE00. */
export type Checked = {
  lab: Lab
  /** Its own error. */
  noise: number
  /** An error that it shares with the reference: both lie in one photo, or were read with one set-up. */
  shared: number
}

/** What a check panel says about today, beside what it has taught the fit. */
export type Learned = {
  /** ln: how much stronger than the rack's usual film the job's own is, and the variance that is left of it. */
  build: number
  buildVariance: number
  /** What reading and reference are both off by, and its mean length that is left in dE00. */
  shift: Lab
  shiftNoise: number
}

/**
 * The conditional expectation of what stays (strength, and an error shared with the reference) given how far the check panel
 * lies from its prediction. What does not stay, the scatter of its coats and of its cup, is not carried over: that is how
 * much of the difference is believed.
 * @param fit     of all readings, the check panel's among them
 * @param recipe  of the check panel's step
 * @returns       null where the fit does not know the recipe
 */
export function learnFrom(fit: FilmFit, recipe: FilmRecipe, check: Checked): Learned | null {
  const slope = slopeOf(fit, recipe)
  if (!slope) return null
  const frame = differenceFrame(slope.lab)
  const apart = times(frame, [check.lab.l - slope.lab.l, check.lab.a - slope.lab.a, check.lab.b - slope.lab.b])
  const perBuild = times(frame, slope.perBuild)
  const hasFilm = recipe.dyes.length > 0 && recipe.coats > 0
  const stays = hasFilm ? dayScatter ** 2 : 0
  const passes = hasFilm ? buildCovariance(recipe.coats, recipe.coats, fit.scatterPerCoat) : 0
  const shared = (check.shared / meanLength) ** 2
  const isotropic = (Math.hypot(check.noise, formulaNoiseOf(fit, recipe)) / meanLength) ** 2 + shared
  const covariance = framed(frame, spreadOf(fit, slope))
  for (let i = 0; i < 3; i++) {
    covariance[4 * i]! += isotropic
    for (let j = 0; j < 3; j++) covariance[3 * i + j]! += perBuild[i]! * perBuild[j]! * (stays + passes)
  }
  const inverse = inverse3(covariance)
  const pulled = times(inverse, apart)
  const shift = times(inverse3(frame), [pulled[0] * shared, pulled[1] * shared, pulled[2] * shared])
  const gain = dot(perBuild, times(inverse, perBuild))
  const meanDiagonal = (inverse[0]! + inverse[4]! + inverse[8]!) / 3
  return {
    build: stays * dot(perBuild, pulled),
    buildVariance: stays * Math.max(0, 1 - stays * gain),
    shift: { l: shift[0], a: shift[1], b: shift[2] },
    shiftNoise: check.shared * Math.sqrt(Math.max(0, 1 - shared * meanDiagonal)),
  }
}

type Vector = readonly [number, number, number]

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]

const times = (matrix: Float64Array, [x, y, z]: Vector): Vector => {
  const row = (i: number): number => matrix[3 * i]! * x + matrix[3 * i + 1]! * y + matrix[3 * i + 2]! * z
  return [row(0), row(1), row(2)]
}

/** Inverse of 3 × 3 by cofactors, row by row. @throws RangeError when there is none */
function inverse3(m: Float64Array): Float64Array {
  const at = (i: number, j: number): number => m[3 * (i % 3) + (j % 3)]!
  const cofactor = (i: number, j: number): number =>
    at(i + 1, j + 1) * at(i + 2, j + 2) - at(i + 1, j + 2) * at(i + 2, j + 1)
  const determinant = at(0, 0) * cofactor(0, 0) + at(0, 1) * cofactor(0, 1) + at(0, 2) * cofactor(0, 2)
  if (!(Math.abs(determinant) > 0)) throw new RangeError('This matrix has no inverse.')
  const inverse = new Float64Array(9)
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) inverse[3 * i + j] = cofactor(j, i) / determinant
  return inverse
}
