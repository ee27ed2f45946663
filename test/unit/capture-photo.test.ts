/** What is said about a photo as a whole, and the geometry under it. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  homographyBetween,
  isConvex,
  mapPoint,
  pointInQuad,
  shrinkQuad,
  signedArea,
  unitSquare,
} from '../../shared-core/capture/geometry.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { edgeWidth } from '../../shared-core/capture/sharpness.ts'
import { halfSampleMode, quantile } from '../../shared-core/capture/statistics.ts'
import { cautionsOfPhoto, surveyOf } from '../../shared-core/capture/surroundings.ts'
import { warpQuad } from '../../shared-core/capture/warp.ts'
import { srgbProfile } from '../../shared-core/colour/profile.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { cardQuad, type LabTriple, panelQuad, rect, sceneOf } from './capture-scene.ts'

/** Box blur with a window of `2 × radius + 1` along rows and columns, run three times: nearly a Gaussian. */
function blurred(pixels: Pixels, radius: number): Pixels {
  let from = Float64Array.from(pixels.data)
  const { width, height } = pixels
  for (let pass = 0; pass < 6; pass++) {
    const to = new Float64Array(from.length)
    const [dx, dy] = pass % 2 ? [0, 1] : [1, 0]
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        for (let c = 0; c < 3; c++) {
          let sum = 0
          for (let k = -radius; k <= radius; k++) {
            const px = Math.min(width - 1, Math.max(0, x + k * dx))
            const py = Math.min(height - 1, Math.max(0, y + k * dy))
            sum += from[(py * width + px) * 3 + c]!
          }
          to[(y * width + x) * 3 + c] = sum / (2 * radius + 1)
        }
      }
    }
    from = to
  }
  return { ...pixels, data: Uint16Array.from(from) }
}

const survey = (pixels: Pixels) => surveyOf(pixels, srgbProfile)
const codesOf = (pixels: Pixels) =>
  cautionsOfPhoto(pixels, survey(pixels), [panelQuad, cardQuad]).map(({ code }) => code)

// a bare sheet with a card on it
const lit = (change: (v: LabTriple, x: number) => LabTriple) => {
  const pixels = sceneOf({ panel: [70, 2, 4], change })
  return cautionsOfPhoto(pixels, survey(pixels), [cardQuad]).map(({ code }) => code)
}

describe('a photo as a whole', () => {
  it('calls a blurred photo blurred and a sharp one not', () => {
    const sharp = sceneOf({ panel: [40, 30, 20] })
    expect(codesOf(sharp)).toEqual([])
    expect(codesOf(blurred(sharp, 4))).toEqual(['photo/blurred'])
    expect(edgeWidth(blurred(sharp, 4))!).toBeGreaterThan(2 * edgeWidth(sharp)!)
  })

  it('has nothing to say about sharpness where there are no edges', () => {
    expect(edgeWidth(sceneOf({ panel: [70, 2, 4], change: () => [0.2, 0.2, 0.2] }))).toBeNull()
  })

  it('finds a second light of another colour, and is not fooled by light that only falls off', () => {
    expect(lit((v, x) => [v[0] * (1 + x / 1000), v[1], v[2] * (1 - x / 1000)])).toEqual(['photo/mixed-light'])
    expect(lit((v, x) => v.map((c) => c * (1 - x / 480)) as LabTriple)).toEqual([])
  })

  it('finds it by two channels where the third has run into its limit all over', () => {
    const bright = (drift: number) => (v: LabTriple, x: number) =>
      [Math.max(1.1, 5 * v[0]), 1.4 * v[1] * (1 + drift * x), 1.4 * v[2] * (1 - drift * x)] as LabTriple
    expect(lit(bright(0.0006))).toEqual(['photo/mixed-light'])
    expect(lit(bright(0))).toEqual([])
  })

  it('finds it where two lights meet in a bend, not a straight line', () => {
    const meet = (x: number) => 0.5 + 0.5 * Math.tanh((x - 120) / 80)
    expect(lit((v, x) => [v[0] * (1 - 0.3 * meet(x)), v[1], v[2] * (1 + 0.3 * meet(x))])).toEqual(['photo/mixed-light'])
  })

  it('does not take a panel that lies around a small outline for a second light', () => {
    // the first is light on dark, the others differ from the sheet in colour only
    for (const panel of [
      [45, 50, 20],
      [80, -30, 20],
      [70, 20, 4],
    ] as LabTriple[]) {
      const pixels = sceneOf({ panel, change: (v, x) => v.map((c) => c * (1 - x / 700)) as LabTriple })
      expect(cautionsOfPhoto(pixels, survey(pixels), [rect(60, 60, 66, 66), cardQuad])).toEqual([])
    }
  })
})

const corner = (x: number, y: number) =>
  fc.tuple(fc.double({ min: x, max: x + 30, noNaN: true }), fc.double({ min: y, max: y + 30, noNaN: true }))
/** Any four corners of these ranges are convex and clockwise. */
const quads: fc.Arbitrary<Quad> = fc.tuple(corner(0, 0), corner(100, 0), corner(100, 100), corner(0, 100))

describe('geometry', () => {
  it('a homography takes corners to corners, and its inverse brings any inner point back', () => {
    fc.assert(
      fc.property(
        quads,
        quads,
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (from, to, u, v) => {
          const there = homographyBetween(from, to)
          const back = homographyBetween(to, from)
          from.forEach((p, i) => {
            expect(Math.hypot(mapPoint(there, p)[0] - to[i]![0], mapPoint(there, p)[1] - to[i]![1])).toBeLessThan(1e-8)
          })
          const inner = mapPoint(homographyBetween(unitSquare, from), [u, v])
          const again = mapPoint(back, mapPoint(there, inner))
          expect(Math.hypot(again[0] - inner[0], again[1] - inner[1])).toBeLessThan(1e-7)
        },
      ),
    )
  })

  it('keeps straight lines straight', () => {
    fc.assert(
      fc.property(quads, (quad) => {
        const h = homographyBetween(unitSquare, quad)
        const [a, b, c] = [mapPoint(h, [0.1, 0.2]), mapPoint(h, [0.4, 0.5]), mapPoint(h, [0.8, 0.9])]
        expect((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).toBeCloseTo(0, 6)
      }),
    )
  })

  it('a shrunk quadrilateral lies inside and is smaller', () => {
    fc.assert(
      fc.property(quads, (quad) => {
        const inner = shrinkQuad(quad, 0.04)
        expect(inner.every((p) => pointInQuad(p, quad))).toBe(true)
        expect(signedArea(inner)).toBeLessThan(signedArea(quad))
      }),
    )
  })

  it('knows area, sense and crossing', () => {
    const square = rect(10, 20, 40, 60)
    expect(signedArea(square)).toBe(1200)
    expect(isConvex(square)).toBe(true)
    expect(isConvex([square[0], square[2], square[1], square[3]])).toBe(false)
    expect(isConvex([square[0], square[0], square[2], square[3]])).toBe(false)
  })
})

describe('a cut-out', () => {
  /** Four fields of one colour each, 40 × 40 pixels. */
  const fields = new Uint8Array(40 * 40 * 3)
  for (let i = 0; i < 1600; i++) fields.fill(40 + 100 * Number(i % 40 >= 20) + 50 * Number(i >= 800), i * 3, i * 3 + 3)
  const source = { width: 40, height: 40, channels: 3 as const, data: fields }

  it('of the whole at the same size is the photo itself', () => {
    const into = { width: 40, height: 40, channels: 3 as const, data: new Uint8Array(4800) }
    warpQuad(source, rect(0, 0, 40, 40), into)
    expect(into.data).toEqual(fields)
  })

  it('turns with its corners, and averages when it gets smaller', () => {
    const into = { width: 2, height: 2, channels: 3 as const, data: new Uint8Array(12) }
    warpQuad(
      source,
      [
        [40, 0],
        [40, 40],
        [0, 40],
        [0, 0],
      ],
      into,
    )
    expect([...into.data].filter((_, i) => i % 3 === 0)).toEqual([140, 190, 40, 90])
    const one = { width: 1, height: 1, channels: 3 as const, data: new Uint8Array(3) }
    warpQuad(source, rect(0, 0, 40, 40), one)
    expect(one.data[0]).toBe((40 + 140 + 90 + 190) / 4)
  })
})

describe('statistics', () => {
  it('interpolates between order statistics', () => {
    expect(quantile([4, 1, 3, 2], 0.5)).toBe(2.5)
    expect(quantile([1, 2, 3, 4, 5], 0.25)).toBe(2)
    expect(quantile([], 0.5)).toBeNaN()
  })

  it('the half-sample mode stays with the densest place while the rest runs off', () => {
    expect(halfSampleMode([10, 10.1, 10.2, 10.05, 10.15, 50, 80, 90, 400])).toBeCloseTo(10.1, 0)
  })
})
