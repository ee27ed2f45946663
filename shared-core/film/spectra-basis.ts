import { EigenvalueDecomposition, Matrix } from 'ml-matrix'
import { filmSampling } from '../colour/spectrum.ts'

/** Smooth spectra as a sum of few: `shapes` holds `count` rows of 31 values, each scaled so that its weight is N(0, 1). */
export type Basis = { count: number; shapes: Float64Array }

const n = filmSampling.count

/**
 * The leading principal components of a covariance between wavelengths.
 * @param covariance  of wavelengths i and j (31 × 31)
 * @param count       how many to keep
 */
export function leadingShapes(covariance: (i: number, j: number) => number, count: number): Basis {
  const rows = Array.from({ length: n }, (_row, i) => Array.from({ length: n }, (_entry, j) => covariance(i, j)))
  const { realEigenvalues: values, eigenvectorMatrix: vectors } = new EigenvalueDecomposition(new Matrix(rows), {
    assumeSymmetric: true,
  })
  const order = values.map((_value, k) => k).toSorted((a, b) => values[b]! - values[a]!)
  const shapes = new Float64Array(count * n)
  for (let k = 0; k < count; k++) {
    const from = order[k]!
    const size = Math.sqrt(Math.max(0, values[from]!))
    // the sign of an eigenvector is arbitrary: the same on every machine
    const sign = vectors.get(n >> 1, from) < 0 ? -1 : 1
    for (let i = 0; i < n; i++) shapes[k * n + i] = sign * size * vectors.get(i, from)
  }
  return { count, shapes }
}

/** Squared-exponential covariance over wavelength, and a common level. */
export const smooth =
  (spread: number, lengthNm: number, level: number) =>
  (i: number, j: number): number =>
    spread ** 2 * Math.exp(-0.5 * ((filmSampling.stepNm * (i - j)) / lengthNm) ** 2) + level ** 2
