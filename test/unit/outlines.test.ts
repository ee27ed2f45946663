/** Outlines that somebody dragged, typed or forged: either refused, or good for all that is reckoned with them. */
import * as fc from 'fast-check'
import { expect, it } from 'vitest'
import {
  homographyBetween,
  isConvex,
  mapPoint,
  middleOf,
  shrinkQuad,
  signedArea,
  unitSquare,
} from '../../shared-core/capture/geometry.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'

const figure = fc.oneof(
  fc.double({ min: -50, max: 5000, noNaN: true }),
  fc.constantFrom(0, 1, 1e-9, 5e-324, 1e6, 999_999.99, -1e6, 1e9, -1e9, 1e300, 1.7e308),
  fc.double(),
)
const point: fc.Arbitrary<Point> = fc.tuple(figure, figure)
/** Any four corners, and corners that are nearly on a line or nearly one point. */
const quads: fc.Arbitrary<Quad> = fc.oneof(
  fc.tuple(point, point, point, point),
  fc.tuple(point, figure, figure, figure).map(
    ([[x, y], a, b, c]): Quad => [
      [x, y],
      [x + a, y],
      [x + a, y + b],
      [x + c / 1e6, y + b],
    ],
  ),
  // seen askew, from tiny to a whole photo
  fc
    .tuple(
      fc.constantFrom(0.05, 1, 40, 3000, 9e5),
      fc.array(fc.double({ min: -0.45, max: 0.45, noNaN: true }), { minLength: 8, maxLength: 8 }),
    )
    .map(([size, by]): Quad => {
      const [a, b, c, d] = unitSquare.map(
        ([x, y], i): Point => [size * (x + (by[2 * i] ?? 0)), size * (y + (by[2 * i + 1] ?? 0))],
      )
      return [a, b, c, d] as Quad
    }),
)

it('an outline that passes has its places, whatever its corners are', () => {
  let passed = 0
  fc.assert(
    fc.property(quads, (quad) => {
      if (!isConvex(quad)) return
      passed++
      const inner = shrinkQuad(quad, 0.04)
      const toUnit = homographyBetween(inner, unitSquare)
      for (const [x, y] of [middleOf(quad), ...inner, mapPoint(toUnit, middleOf(quad))])
        expect(Number.isFinite(x) && Number.isFinite(y)).toBe(true)
      expect(Math.sign(signedArea(inner))).toBe(Math.sign(signedArea(quad)))
    }),
    { numRuns: 5000 },
  )
  expect(passed).toBeGreaterThan(100)
})

it('lines, points, crossed and endless outlines do not pass', () => {
  const outline = (...corners: Point[]) => isConvex(corners as Quad)
  expect(outline([0, 0], [10, 0], [10, 8], [0, 8])).toBe(true)
  expect(outline([0, 0], [10, 0], [0, 8], [10, 8])).toBe(false)
  expect(outline([0, 0], [10, 0], [20, 0], [0, 8])).toBe(false)
  expect(outline([0, 0], [10, 0], [10, 1e-9], [0, 1e-9])).toBe(false)
  expect(outline([-1e9, 16], [2, 0], [10, 0], [100, 0])).toBe(false)
  expect(outline([0, 0], [Number.NaN, 0], [10, 8], [0, 8])).toBe(false)
  expect(outline([0, 0], [Number.POSITIVE_INFINITY, 0], [10, 8], [0, 8])).toBe(false)
})
