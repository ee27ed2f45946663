/**
 * The camera model against what it is built on.
 * Root-polynomial colour correction, second degree: G. Finlayson, M. Mackiewicz, A. Hurlbert, IEEE Trans. Image Process. 24
 * (2015) 1460–1470: r, g, b, √rg, √gb, √rb by a 3 × 6 matrix, and that exposure goes through it unchanged.
 * Chart: C. McCamy, H. Marcus, J. Davidson, J. Appl. Photogr. Eng. 2 (1976) 95–99 (xyY under illuminant C, printed below);
 * mean of 30 measured charts: D. Pascale 2012, as it lies beside the project, where it does.
 */
import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import Color from 'colorjs.io'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chartColours, patchQuad } from '../../shared-core/capture/camera/chart.ts'
import {
  type Camera,
  gainFor,
  plainCamera,
  redoTone,
  surfaceLight,
  undoTone,
} from '../../shared-core/capture/camera/model.ts'
import { untonedTables } from '../../shared-core/capture/camera/tables.ts'
import { decodeTable, srgbProfile } from '../../shared-core/colour/profile.ts'

type Triple = [number, number, number]

const within = (most: number) => fc.double({ min: -most, max: most, noNaN: true })
const terms = (count: number, most: number) => fc.array(within(most), { minLength: count, maxLength: count })
const channel = fc.double({ min: 0.02, max: 1, noNaN: true })
const light = fc.tuple(channel, channel, channel)
/** Colour terms alone: no tone curve, no flare, gain 1. */
const colourOnly = fc
  .record({ cross: terms(6, 0.15), root: terms(9, 0.2) })
  .map((some): Camera => ({ ...plainCamera, ...some }))

/** Finlayson's form: a 3 × 6 matrix times (r, g, b, √rg, √gb, √rb). */
function rootPolynomial([r, g, b]: Triple, { cross, root }: Camera): Triple {
  const [gr, br, rg, bg, rb, gb] = cross as [number, number, number, number, number, number]
  const sum = (row: number) => root[row]! + root[row + 1]! + root[row + 2]!
  const matrix = [
    [1 - gr - br - sum(0), gr, br, root[0]!, root[1]!, root[2]!],
    [rg, 1 - rg - bg - sum(3), bg, root[3]!, root[4]!, root[5]!],
    [rb, gb, 1 - rb - gb - sum(6), root[6]!, root[7]!, root[8]!],
  ]
  const x = [r, g, b, (r * g) ** 0.5, (g * b) ** 0.5, (r * b) ** 0.5]
  return matrix.map((row) => row.reduce((total, v, i) => total + v * x[i]!, 0)) as Triple
}

describe('root-polynomial colour terms', () => {
  it('are the 3 × 6 matrix of the paper', () => {
    fc.assert(
      fc.property(light, colourOnly, (seen, camera) => {
        const expected = rootPolynomial(seen, camera)
        fc.pre(Math.min(...expected) > 1e-3)
        surfaceLight(seen, camera).forEach((v, c) => expect(v).toBeCloseTo(expected[c]!, 10))
      }),
    )
  })

  it('give k times the colour for k times the light', () => {
    fc.assert(
      fc.property(light, colourOnly, fc.double({ min: 0.05, max: 20, noNaN: true }), (seen, camera, k) => {
        const one = surfaceLight(seen, camera)
        fc.pre(Math.min(...one) > 1e-3)
        const scaled = surfaceLight([k * seen[0], k * seen[1], k * seen[2]], camera)
        scaled.forEach((v, c) => expect(v / (k * one[c]!)).toBeCloseTo(1, 9))
      }),
    )
  })

  it('leave a neutral neutral, and as bright as it was', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-3, max: 2, noNaN: true }), colourOnly, (v, camera) => {
        for (const got of surfaceLight([v, v, v], camera)) expect(got / v).toBeCloseTo(1, 12)
      }),
    )
  })

  it('let a card come out as it is known with the gain that is found for it', () => {
    const near = fc.tuple(within(0.05), within(0.05))
    fc.assert(
      fc.property(light, near, colourOnly, within(0.9), (seen, [red, blue], some, contrast) => {
        const camera = { ...some, contrast, power: 0.1, flare: 0.004 }
        const target: Triple = [0.2 * (1 + red), 0.2, 0.2 * (1 + blue)]
        const got = surfaceLight(seen, { ...camera, gain: gainFor(seen, target, camera) })
        got.forEach((v, c) => expect(v / target[c]!).toBeCloseTo(1, 4))
      }),
    )
  })
})

describe('the tone curve', () => {
  const tone = fc.record({
    contrast: fc.double({ min: -0.6, max: 0.95, noNaN: true }),
    power: within(0.5),
  })
  const unit = fc.double({ min: 0, max: 1, noNaN: true })

  it('is the cubic smoothstep share k over encoded numbers, after a power; sRGB by colorjs.io', () => {
    fc.assert(
      fc.property(unit, tone, (v, { contrast, power }) => {
        const [encoded] = new Color('srgb-linear', [v, v, v]).to('srgb').coords as Triple
        const s = encoded ** (1 / Math.E ** power)
        const e = (1 - contrast) * s + contrast * s ** 2 * (3 - 2 * s)
        const [expected] = new Color('srgb', [e, e, e]).to('srgb-linear').coords as Triple
        expect(redoTone(v, { contrast, power })).toBeCloseTo(expected, 9)
      }),
    )
  })

  it('undone and laid on again, and the other way round, is what it was', () => {
    fc.assert(
      fc.property(unit, tone, (v, curve) => {
        expect(redoTone(undoTone(v, curve), curve)).toBeCloseTo(v, 7)
        expect(undoTone(redoTone(v, curve), curve)).toBeCloseTo(v, 6)
      }),
      { numRuns: 500 },
    )
  })

  it('keeps black and white and rises in between, both ways', () => {
    fc.assert(
      fc.property(tone, (curve) => {
        for (const bend of [undoTone, redoTone]) {
          const values = Array.from({ length: 256 }, (_, i) => bend((i / 255) ** 2, curve))
          expect(values[0]).toBeCloseTo(0, 12)
          expect(values[255]).toBeCloseTo(1, 12)
          for (let i = 1; i < 256; i++) expect(values[i]).toBeGreaterThan(values[i - 1]!)
        }
      }),
    )
  })

  it('as a table of 8 bits is the computation itself, as one of 16 bits within a hundredth of L*', () => {
    const lightness = (y: number) => 116 * Math.cbrt(Math.max(y, 216 / 24389))
    fc.assert(
      fc.property(tone, (curve) => {
        fc.pre(curve.contrast !== 0 || curve.power !== 0)
        const worst = ([8, 16] as const).map((bits) => {
          const plain = decodeTable(srgbProfile, bits)[0]
          const table = untonedTables(decodeTable(srgbProfile, bits), curve)[0]
          expect(table.length).toBe(plain.length)
          let most = 0
          for (let code = 0; code < table.length; code += bits === 8 ? 1 : 97) {
            const direct = undoTone(plain[code]!, curve)
            most = Math.max(most, Math.abs(lightness(table[code]!) - lightness(direct)))
          }
          return most
        })
        expect(worst[0]).toBe(0)
        expect(worst[1]).toBeLessThan(0.01)
      }),
      { numRuns: 25 },
    )
  })
})

/** McCamy et al. 1976, table 1: x, y, Y under illuminant C, row by row. */
const mccamy: Triple[] = [
  [0.4002, 0.3504, 10.05],
  [0.3773, 0.3446, 35.82],
  [0.247, 0.2514, 19.33],
  [0.3372, 0.422, 13.29],
  [0.2651, 0.24, 24.27],
  [0.2608, 0.343, 43.06],
  [0.506, 0.407, 30.05],
  [0.211, 0.175, 12],
  [0.4533, 0.3058, 19.77],
  [0.2845, 0.202, 6.56],
  [0.38, 0.4887, 44.29],
  [0.4729, 0.4375, 43.06],
  [0.1866, 0.1285, 6.11],
  [0.3046, 0.4782, 23.39],
  [0.5385, 0.3129, 12],
  [0.448, 0.4703, 59.1],
  [0.3635, 0.2325, 19.77],
  [0.1958, 0.2519, 19.77],
  [0.3101, 0.3163, 90.01],
  [0.3101, 0.3163, 59.1],
  [0.3101, 0.3163, 36.2],
  [0.3101, 0.3163, 19.77],
  [0.3101, 0.3163, 9],
  [0.3101, 0.3163, 3.13],
]
/** Bradford's cone responses (K. Lam 1985, as ICC.1 prints them). */
const bradford = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
] as const

const file = fileURLToPath(new URL('../../../shared/photos/chart24.json', import.meta.url))
const present = existsSync(file)
if (!present) console.warn('chart24.json is not beside the project: the chart table is not held against it')

describe('the chart', () => {
  const table = chartColours('avg30')
  const apart = (one: Color, other: Color) => one.deltaE(other, '2000')
  const asColour = ({ l, a, b }: { l: number; a: number; b: number }) => new Color('lab', [l, a, b])

  const cones = (xyz: number[]) => bradford.map((row) => row.reduce((sum, v, i) => sum + v * xyz[i]!, 0))
  const toXyz = ([x, y, Y]: Triple) => [(x * Y) / y, Y, ((1 - x - y) * Y) / y].map((v) => v / 100)
  const [whiteC, whiteD50] = [cones(toXyz([0.3101, 0.3162, 100])), cones([0.9642, 1, 0.8251])]
  /** The first chart's own table, taken from illuminant C to D50. */
  const original = mccamy.map((xyY) => {
    const [p, q, r] = cones(toXyz(xyY)).map((v, i) => (v * whiteD50[i]!) / whiteC[i]!) as Triple
    // cone responses back to XYZ by Cramer's rule
    const [m0, m1, m2] = bradford
    const det = (u: readonly number[], v: readonly number[], w: readonly number[]) =>
      u[0]! * (v[1]! * w[2]! - v[2]! * w[1]!) -
      u[1]! * (v[0]! * w[2]! - v[2]! * w[0]!) +
      u[2]! * (v[0]! * w[1]! - v[1]! * w[0]!)
    const all = det(m0, m1, m2)
    const xyz = [0, 1, 2].map((i) => {
      const put = (row: readonly number[], v: number) => row.map((w, j) => (j === i ? v : w))
      return det(put(m0, p), put(m1, q), put(m2, r)) / all
    })
    return new Color('xyz-d50', xyz as Triple).to('lab')
  })

  it('has its patches in McCamy’s order: each is nearest to its own, and as near as charts are to each other', () => {
    table.forEach((lab, i) => {
      const distances = original.map((other) => apart(asColour(lab), other))
      expect(distances.indexOf(Math.min(...distances))).toBe(i)
      expect(distances[i]).toBeLessThan(6)
    })
  })

  it('has patch 1 at its outline’s first corner, 6 at the second, 24 at the third, 19 at the fourth', () => {
    const patches = [1, 6, 24, 19].map((patch) =>
      patchQuad(
        [
          [100, 50],
          [700, 50],
          [700, 450],
          [100, 450],
        ],
        patch,
        0.5,
      ),
    )
    expect(patches.map(([[x, y]]) => [Math.round(x), Math.round(y)])).toEqual([
      [125, 75],
      [625, 75],
      [625, 375],
      [125, 375],
    ])
  })

  it.runIf(present)('is the mean of 30 charts, figure by figure', () => {
    const { labD50, names } = JSON.parse(readFileSync(file, 'utf8')) as {
      labD50: { avg30: Triple[]; mccamy1976: Triple[] }
      names: string[]
    }
    // and the table printed above is McCamy's
    original.forEach((colour, i) => {
      labD50.mccamy1976[i]!.forEach((v, c) => expect(Math.abs(colour.coords[c]! - v)).toBeLessThan(0.1))
    })
    expect(table.map(({ l, a, b }) => [l, a, b])).toEqual(labD50.avg30)
    expect([names[0], names[5], names[18], names[23]]).toEqual(['dark skin', 'bluish green', 'white', 'black'])
  })
})
