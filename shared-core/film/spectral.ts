import { filmSampling, spectralWeights } from '../colour/spectrum.ts'

/** XYZ weights (D50, 2°) of a 31-value spectrum, each column scaled so that a flat spectrum of 1 is exactly white. */
const n = filmSampling.count
export const xyzWeights: readonly [Float64Array, Float64Array, Float64Array] = (() => {
  const { x, y, z } = spectralWeights(filmSampling, 'D50')
  const scaled = (column: readonly number[]) => {
    const sum = column.reduce((total, weight) => total + weight, 0)
    return Float64Array.from(column, (weight) => weight / sum)
  }
  return [scaled(x), scaled(y), scaled(z)]
})()

const [wx, wy, wz] = xyzWeights
const epsilon = 216 / 24389
const kappa = 24389 / 27

/** f of CIELAB and its slope, CIE 15:2018 §8.2.1; below 0 the straight part goes on. */
const response = (t: number): number => (t > epsilon ? Math.cbrt(t) : (kappa * t + 16) / 116)
const slope = (t: number): number => (t > epsilon ? 1 / (3 * Math.cbrt(t) ** 2) : kappa / 116)

/**
 * L*, a*, b* (D50, 2°) of a 31-value spectrum, written into `lab`, and their slopes by each value, three rows of 31, into
 * `slopes` where it is given.
 */
export function labOfSpectrum(r: Float64Array, lab: Float64Array, slopes: Float64Array | null): void {
  let x = 0
  let y = 0
  let z = 0
  for (let i = 0; i < n; i++) {
    const value = r[i]!
    x += wx[i]! * value
    y += wy[i]! * value
    z += wz[i]! * value
  }
  const fy = response(y)
  lab[0] = 116 * fy - 16
  lab[1] = 500 * (response(x) - fy)
  lab[2] = 200 * (fy - response(z))
  if (slopes === null) return
  const dx = slope(x)
  const dy = slope(y)
  const dz = slope(z)
  for (let i = 0; i < n; i++) {
    slopes[i] = 116 * dy * wy[i]!
    slopes[n + i] = 500 * (dx * wx[i]! - dy * wy[i]!)
    slopes[2 * n + i] = 200 * (dy * wy[i]! - dz * wz[i]!)
  }
}
