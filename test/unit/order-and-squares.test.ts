import fc from 'fast-check'
import { Matrix, solve } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import { biweight, equationsOf, leastSquares, leftOver, scatterOf } from '../../shared-core/capture/least-squares.ts'
import { halfSampleMode, quantile, selectAt } from '../../shared-core/capture/statistics.ts'

const numbers = fc.array(fc.oneof(fc.double({ noNaN: true, min: -1e6, max: 1e6 }), fc.integer({ min: 0, max: 5 })), {
  minLength: 1,
  maxLength: 400,
})

describe('Order statistics, against the engine’s own sort', () => {
  it('selects what stands at a place in order, smaller ones before it and larger ones behind', () => {
    fc.assert(
      fc.property(numbers, fc.double({ min: 0, max: 0.999, noNaN: true }), (values, share) => {
        const place = Math.floor(share * values.length)
        const some = new Float64Array(values)
        const found = selectAt(some, place)
        expect(found).toBe(values.toSorted((a, b) => a - b)[place])
        expect(some.subarray(0, place).every((v) => v <= found)).toBe(true)
        expect(some.subarray(place).every((v) => v >= found)).toBe(true)
        expect([...some].toSorted((a, b) => a - b)).toEqual(values.toSorted((a, b) => a - b))
      }),
    )
  })

  it('interpolates between the two neighbours, and leaves its values as they were', () => {
    // R. Hyndman, Y. Fan, Am. Stat. 50 (1996) 361–365, definition 7
    fc.assert(
      fc.property(numbers, fc.double({ min: 0, max: 1, noNaN: true }), (values, p) => {
        const before = [...values]
        const sorted = values.toSorted((a, b) => a - b)
        const at = (values.length - 1) * p
        const [low, high] = [sorted[Math.floor(at)]!, sorted[Math.ceil(at)]!]
        expect(quantile(values, p)).toBeCloseTo(low + (high - low) * (at - Math.floor(at)), 6)
        expect(values).toEqual(before)
      }),
    )
  })

  it('finds the mode of a cluster whatever lies around, in any order', () => {
    const values = [0.2, 5, 5.01, 5.02, 5.03, 9, 14, 27]
    expect(halfSampleMode(values)).toBeCloseTo(5.02, 1)
    expect(halfSampleMode(values.toReversed())).toBe(halfSampleMode(values))
  })
})

describe('Weighted least squares, against the singular values of ml-matrix', () => {
  const share = fc.double({ noNaN: true, min: -1, max: 1 })
  const row = fc.tuple(share, share, share)
  it('gives the same numbers, and what they leave', () => {
    fc.assert(
      fc.property(
        fc.array(row, { minLength: 60, maxLength: 90 }),
        fc.infiniteStream(fc.integer({ min: 0, max: 3 })),
        (rows, draws) => {
          // a lattice besides what was drawn, so that the terms can be told apart
          const terms = rows.map(([x, y], n) => [1, x + (n % 5) - 2, y + (Math.floor(n / 5) % 5) - 2])
          const values = rows.map(([, , z]) => z)
          const weights = Float64Array.from(terms, () => draws.next().value ?? 1)
          for (let n = 0; n < 30; n++) weights[n] = 1
          const equations = equationsOf(terms, values)
          const found = leastSquares(equations, weights, [])
          const root = (n: number) => Math.sqrt(weights[n]!)
          const other = solve(
            new Matrix(terms.map((t, n) => t.map((v) => v * root(n)))),
            Matrix.columnVector(values.map((v, n) => v * root(n))),
            true,
          ).to1DArray()
          found.forEach((v, i) => expect(v).toBeCloseTo(other[i]!, 9))
          const left = new Float64Array(values.length)
          leftOver(equations, found, left)
          left.forEach((v, n) =>
            expect(v).toBeCloseTo(values[n]! - terms[n]!.reduce((sum, t, i) => sum + t * found[i]!, 0), 12),
          )
        },
      ),
      { numRuns: 40 },
    )
  })

  it('weighs by Tukey’s biweight and tells scatter as 1.4826 median deviations', () => {
    // J. Tukey’s biweight: (1 − t²)² inside, 0 outside
    expect([0, 0.5, -0.5, 1, 3].map((t) => biweight(2 * t, 2))).toEqual([1, 0.5625, 0.5625, 0, 0])
    const left = new Float64Array([-3, 1, 2, -1, 100])
    expect(scatterOf(left)).toBeCloseTo(2.9652, 10)
    expect([...left]).toEqual([-3, 1, 2, -1, 100])
  })
})
