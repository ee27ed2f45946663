import { CholeskyDecomposition, inverse, Matrix } from 'ml-matrix'
import { type Lab, labToXyz, xyzToLab } from '../../colour/lab.ts'
import { apply3, invert3 } from '../../colour/matrix.ts'
import type { RgbProfile } from '../../colour/profile.ts'
import type { Point } from '../../records/area.ts'
import type { Triple } from '../pixels.ts'
import {
  allTerms,
  type Camera,
  cameraTerms,
  fromVector,
  gainFor,
  surfaceLight,
  surfaceOf,
  toneTerms,
  toVector,
  undoTones,
} from './model.ts'
import type { Belief } from './prior.ts'

/** A place in the photo whose colour is known. */
export type Known = {
  /** Linear light by the file's profile. */
  light: Triple
  lab: Lab
  /**
   * How surely it is known: one standard deviation in about dE00 along lightness, chroma and hue; of near neutrals, which
   * have no hue, along L*, a* and b*. A patch of a chart has 1: its table against this print of it, and reading it.
   */
  deviation: Triple
  /** Its middle in the photo, pixels. */
  place: Point
  /** It is printed on a sheet, whose paper and ink may shine a little: a veil of white that nothing else in the photo has. */
  printed?: boolean
}

export type CameraFit = {
  camera: Camera
  /** Covariance of all numbers of the camera, the gain's three logarithms last; `allTerms` squared. */
  covariance: Matrix
  /** What is left at each known place, in about dE00. */
  left: number[]
  /**
   * How likely the belief made what was seen (natural logarithm, but for what all beliefs have in common): Laplace's
   * approximation of the evidence, by which beliefs about the same places are compared.
   */
  evidence: number
}

/** Beyond this many deviations a place counts less and less (Huber): dirt, glare, patches that are not like their table. */
const tolerated = 3
/** The gain is not known before: five times up or down. */
const gainSpread = 1.6
/** Standard deviation of the veil over what is printed, in parts of white; against that of the photo that taught it (by judgement). */
const veilSpread = 0.012
const rounds = 60
/** Of a place to start from, 1 for white. */
const leastLight = 1e-4

/**
 * The most likely camera for what a photo shows of known colours (maximum a posteriori by Levenberg–Marquardt with
 * Huber's weights), and how sure that is (Laplace's approximation: the inverse of the normal matrix).
 * @param known      at least one place; the first is the card where there is one
 * @param brightest  light of the photo's brightest broad place: nothing that only reflects is whiter than white
 * Source: D. Marquardt, J. SIAM 11 (1963) 431–441; P. Huber, Ann. Math. Stat. 35 (1964) 73–101.
 */
export function fitCamera(
  known: readonly Known[],
  belief: Belief,
  profile: RgbProfile,
  brightest: Triple | null = null,
): CameraFit {
  // the veil over what is printed comes last, where there is anything printed
  const isVeiled = known.some(({ printed }) => printed)
  const precision = precisionOf(belief, isVeiled)
  const first = [...startFrom(known, belief, profile), ...(isVeiled ? [0] : [])]
  const mean = [...toVector(belief.camera).slice(0, cameraTerms), ...first.slice(cameraTerms)]
  let x = first
  let cost = costAt(x)
  let damping = 1e-3
  for (let round = 0; round < rounds && damping < 1e8; round++) {
    const { normal, slope } = equationsAt(x)
    const step = solveDamped(normal, slope, damping)
    const next = clamp(x.map((v, i) => v + (step[i] ?? 0)))
    const nextCost = costAt(next)
    if (nextCost < cost) {
      const gained = cost - nextCost
      x = next
      cost = nextCost
      damping = Math.max(1e-9, damping / 5)
      if (gained < 1e-7 * (1 + cost)) break
    } else damping *= 4
  }
  const found = fromVector(x)
  const left = known.map((k) => length(residual(k, cameraOver(k, x), profile)))
  const told = equationsAt(x).normal
  const evidence = (logDeterminant(precision) - logDeterminant(told) - cost) / 2
  const covariance = inverse(told).subMatrix(0, allTerms - 1, 0, allTerms - 1)
  return { camera: found, covariance, left, evidence }

  function costAt(at: readonly number[]): number {
    const camera = fromVector(at)
    let sum = quadratic(precision, at, mean)
    for (const k of known) sum += huber(length(byDeviation(residual(k, cameraOver(k, at), profile), k.deviation)))
    return brightest ? sum + huber(overWhite(brightest, camera, profile)) : sum
  }

  function equationsAt(at: readonly number[]) {
    const normal = precision.clone()
    const slope = precision.mmul(Matrix.columnVector(at.map((v, i) => (mean[i] ?? 0) - v))).to1DArray()
    const here = fromVector(at)
    const stepped = at.map((v, i) => at.map((w, j) => (i === j ? v + small : w)))
    const there = stepped.map(fromVector)
    const [hereVeiled, thereVeiled] = isVeiled
      ? [veiled(at, here), stepped.map((one, i) => veiled(one, there[i]!))]
      : []
    for (const k of known) {
      const undone = undoTones(k.light, here)
      const own = (k.printed && hereVeiled) || here
      const r = byDeviation(stepsBetween(labBehind(undone, own, profile), k.lab), k.deviation)
      const size = length(r)
      const weight = size > tolerated ? tolerated / size : 1
      const columns = ((k.printed && thereVeiled) || there).map((camera, i) => {
        const before = i < toneTerms ? undoTones(k.light, camera) : undone
        const moved = byDeviation(stepsBetween(labBehind(before, camera, profile), k.lab), k.deviation)
        return [(moved[0] - r[0]) / small, (moved[1] - r[1]) / small, (moved[2] - r[2]) / small] as const
      })
      for (let i = 0; i < columns.length; i++) {
        const a = columns[i]!
        slope[i]! -= weight * (a[0] * r[0] + a[1] * r[1] + a[2] * r[2])
        for (let j = 0; j <= i; j++) {
          const b = columns[j]!
          const add = weight * (a[0] * b[0] + a[1] * b[1] + a[2] * b[2])
          normal.set(i, j, normal.get(i, j) + add)
          if (i !== j) normal.set(j, i, normal.get(j, i) + add)
        }
      }
    }
    if (brightest) {
      const over = overWhite(brightest, here, profile)
      const weight = over > tolerated ? tolerated / over : 1
      const column = over > 0 ? there.map((camera) => (overWhite(brightest, camera, profile) - over) / small) : []
      column.forEach((a, i) => {
        slope[i]! -= weight * a * over
        // a · b first: Cholesky asks for the same digits on both sides of the diagonal
        column.forEach((b, j) => normal.set(i, j, normal.get(i, j) + a * b * weight))
      })
    }
    return { normal, slope }
  }
}

/** The camera as it sees what is printed. */
const veiled = (at: readonly number[], camera: Camera): Camera => ({
  ...camera,
  flare: camera.flare + (at[allTerms] ?? 0),
})

const cameraOver = ({ printed }: Known, at: readonly number[]): Camera =>
  printed ? veiled(at, fromVector(at)) : fromVector(at)

/** White paper and paint reach about this; light that falls unevenly or from a second lamp brings more. */
const whitest = 0.92
const whitestSpread = 0.1

/** By how many standard deviations a place is whiter than white; 0 for all that is not. */
function overWhite(light: Triple, camera: Camera, profile: RgbProfile): number {
  const [, y] = apply3(profile.toXyzD50, surfaceLight(light, camera))
  return Math.max(0, Math.log(Math.max(y, 1e-6) / whitest) / whitestSpread)
}

const small = 1e-4
const length = (r: Triple) => Math.hypot(r[0], r[1], r[2])
const byDeviation = (r: Triple, by: Triple): Triple => [r[0] / by[0], r[1] / by[1], r[2] / by[2]]
const huber = (size: number) => (size <= tolerated ? size * size : 2 * tolerated * size - tolerated * tolerated)

function clamp(x: number[]): number[] {
  const at = [...x]
  at[0] = Math.min(0.97, Math.max(-0.6, at[0]!))
  at[1] = Math.min(0.6, Math.max(-0.6, at[1]!))
  at[2] = Math.min(0.08, Math.max(-0.03, at[2]!))
  return at
}

function precisionOf({ covariance }: Belief, isVeiled: boolean): Matrix {
  const known = inverse(Matrix.from1DArray(cameraTerms, cameraTerms, [...covariance]))
  const size = allTerms + (isVeiled ? 1 : 0)
  const all = Matrix.zeros(size, size)
  // an inverse is symmetric only to its last digits, and Cholesky asks for all of them
  for (let i = 0; i < cameraTerms; i++) {
    for (let j = 0; j < cameraTerms; j++) all.set(i, j, (known.get(i, j) + known.get(j, i)) / 2)
  }
  for (let i = cameraTerms; i < allTerms; i++) all.set(i, i, 1 / gainSpread ** 2)
  if (isVeiled) all.set(allTerms, allTerms, 1 / veilSpread ** 2)
  return all
}

/** The belief's camera with the gain that suits the first known place. */
function startFrom(known: readonly Known[], belief: Belief, profile: RgbProfile): number[] {
  const [first] = known
  if (!first) throw new RangeError('Nothing known in the photo: there is no camera to fit.')
  // a colour that no surface has (typed wrongly) may lack light in a channel, or have less than none
  const target = lightOf(first.lab, profile).map((v) => Math.max(v, leastLight)) as Triple
  return toVector({ ...belief.camera, gain: gainFor(first.light, target, belief.camera) })
}

/** Linear RGB of a colour in the profile's primaries, 1 for white. */
export function lightOf(lab: Lab, profile: RgbProfile): Triple {
  const { x, y, z } = labToXyz(lab)
  const [r, g, b] = apply3(invert3(profile.toXyzD50), [x, y, z])
  return [r, g, b]
}

/** Lab (D50, 2°) of what a camera saw. */
export const labOf = (light: Triple, camera: Camera, profile: RgbProfile): Lab =>
  labBehind(undoTones(light, camera), camera, profile)

/** The same by light before the tone curve. */
function labBehind(undone: Triple, camera: Camera, profile: RgbProfile): Lab {
  const [x, y, z] = apply3(profile.toXyzD50, surfaceOf(undone, camera))
  return xyzToLab({ x, y, z })
}

/** How a colour moves, in steps of about dE00, for each of the camera's numbers. */
export function cameraSteps(light: Triple, camera: Camera, profile: RgbProfile): Triple[] {
  const x = toVector(camera)
  const here = labOf(light, camera, profile)
  return x.map((v, i) => {
    const moved = fromVector(x.map((w, j) => (i === j ? v + small : w)))
    const [l, c, h] = stepsBetween(labOf(light, moved, profile), here)
    return [l / small, c / small, h / small]
  })
}

const residual = ({ light, lab }: Known, camera: Camera, profile: RgbProfile): Triple =>
  stepsBetween(labOf(light, camera, profile), lab)

/**
 * The difference of two colours as a vector whose length is about dE00 where it is small: lightness, chroma and hue each
 * divided by the weight that CIEDE2000 gives it at `from`.
 */
export function stepsBetween(to: Lab, from: Lab): Triple {
  const l = from.l - 50
  const dl = (to.l - from.l) / (1 + (0.015 * l * l) / Math.sqrt(20 + l * l))
  const da = to.a - from.a
  const db = to.b - from.b
  const chroma = Math.hypot(from.a, from.b)
  if (chroma < 5) return [dl, da, db]
  const along = (da * from.a + db * from.b) / chroma
  const across = (db * from.a - da * from.b) / chroma
  return [dl, along / (1 + 0.045 * chroma), across / (1 + 0.015 * chroma)]
}

function quadratic(precision: Matrix, x: readonly number[], mean: readonly number[]): number {
  let sum = 0
  for (let i = 0; i < x.length; i++) {
    for (let j = 0; j < x.length; j++) sum += precision.get(i, j) * (x[i]! - mean[i]!) * (x[j]! - mean[j]!)
  }
  return sum
}

/** Of a symmetric positive matrix. */
function logDeterminant(matrix: Matrix): number {
  const lower = new CholeskyDecomposition(matrix).lowerTriangularMatrix
  let sum = 0
  for (let i = 0; i < matrix.rows; i++) sum += 2 * Math.log(lower.get(i, i))
  return sum
}

function solveDamped(normal: Matrix, slope: readonly number[], damping: number): number[] {
  const damped = normal.clone()
  for (let i = 0; i < damped.rows; i++) damped.set(i, i, damped.get(i, i) * (1 + damping))
  return new CholeskyDecomposition(damped).solve(Matrix.columnVector([...slope])).to1DArray()
}
