import { solveLinear } from './geometry.ts'
import { quantileIn } from './statistics.ts'

/** Values to be explained by a weighted sum of terms, for some hundred blocks of a photo: plain numbers, row by row. */
export type Equations = { terms: Float64Array; count: number; values: Float64Array }

/** @param terms  the same number for each value */
export function equationsOf(terms: readonly (readonly number[])[], values: ArrayLike<number>): Equations {
  const count = terms[0]?.length ?? 0
  const flat = new Float64Array(terms.length * count)
  terms.forEach((row, n) => flat.set(row, n * count))
  return { terms: flat, count, values: new Float64Array(values) }
}

/**
 * Weighted least squares by the normal equations.
 * @param ridge  added to their diagonal
 * @throws RangeError where the terms cannot be told apart
 */
export function leastSquares(
  { terms, count, values }: Equations,
  weights: Float64Array,
  ridge: readonly number[],
): number[] {
  const width = count + 1
  const sums = new Float64Array(count * width)
  for (let from = 0; from < values.length; from += 32)
    addUp(sums, { terms, count, values }, weights, from, Math.min(from + 32, values.length))
  const rows = Array.from({ length: count }, (_row, i) =>
    Array.from({ length: width }, (_entry, j) => (j < i ? sums[j * width + i]! : sums[i * width + j]!)),
  )
  rows.forEach((row, i) => {
    row[i]! += ridge[i] ?? 0
  })
  return solveLinear(rows)
}

/** The upper half of the normal equations; a few values at a time, so that the engine soon makes it fast. */
function addUp(
  sums: Float64Array,
  { terms, count, values }: Equations,
  weights: Float64Array,
  from: number,
  to: number,
): void {
  const width = count + 1
  for (let n = from, at = from * count; n < to; n++, at += count) {
    const weight = weights[n]!
    if (weight === 0) continue
    for (let i = 0; i < count; i++) {
      const by = weight * terms[at + i]!
      for (let j = i; j < count; j++) sums[i * width + j]! += by * terms[at + j]!
      sums[i * width + count]! += by * values[n]!
    }
  }
}

/** What the terms leave of each value. @param into  written over */
export function leftOver({ terms, count, values }: Equations, found: readonly number[], into: Float64Array): void {
  for (let n = 0, at = 0; n < values.length; n++, at += count) {
    let sum = 0
    for (let i = 0; i < count; i++) sum += terms[at + i]! * found[i]!
    into[n] = values[n]! - sum
  }
}

/** Tukey's biweight: 1 for what lies on the fit, falling to 0 at `reach`. */
export const biweight = (away: number, reach: number): number => {
  const t = away / reach
  return t < 1 && t > -1 ? (1 - t * t) * (1 - t * t) : 0
}

/** 1.4826 times the median distance from 0: the standard deviation of normal values, whatever a few of them do. */
export function scatterOf(left: Float64Array): number {
  const sizes = new Float64Array(left.length)
  for (let i = 0; i < left.length; i++) sizes[i] = Math.abs(left[i]!)
  return 1.4826 * quantileIn(sizes, 0.5)
}
