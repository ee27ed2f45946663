/**
 * CIEDE2000 against G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 color-difference formula: implementation notes,
 * supplementary test data, and mathematical observations", Color Res. Appl. 30 (2005) 21–30, table 1: all 34 pairs,
 * both ways round, to 1e-4. The table was typed in and then checked row by row through two independent implementations,
 * culori and colorjs.io, which the last test repeats: a slip in a row would show there.
 */
import Color from 'colorjs.io'
import { differenceCiede2000 as culoriDifference } from 'culori'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { differenceCiede2000, differenceParts } from '../../shared-core/colour/difference.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'

type Row = readonly [number, number, number, number, number, number, number]

// biome-ignore format: one pair per line, as printed
const pairs: readonly Row[] = [
  [50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425],
  [50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615],
  [50, 2.8361, -74.02, 50, 0, -82.7485, 3.4412],
  [50, -1.3802, -84.2814, 50, 0, -82.7485, 1],
  [50, -1.1848, -84.8006, 50, 0, -82.7485, 1],
  [50, -0.9009, -85.5211, 50, 0, -82.7485, 1],
  [50, 0, 0, 50, -1, 2, 2.3669],
  [50, -1, 2, 50, 0, 0, 2.3669],
  [50, 2.49, -0.001, 50, -2.49, 0.0009, 7.1792],
  [50, 2.49, -0.001, 50, -2.49, 0.001, 7.1792],
  [50, 2.49, -0.001, 50, -2.49, 0.0011, 7.2195],
  [50, 2.49, -0.001, 50, -2.49, 0.0012, 7.2195],
  [50, -0.001, 2.49, 50, 0.0009, -2.49, 4.8045],
  [50, -0.001, 2.49, 50, 0.001, -2.49, 4.8045],
  [50, -0.001, 2.49, 50, 0.0011, -2.49, 4.7461],
  [50, 2.5, 0, 50, 0, -2.5, 4.3065],
  [50, 2.5, 0, 73, 25, -18, 27.1492],
  [50, 2.5, 0, 61, -5, 29, 22.8977],
  [50, 2.5, 0, 56, -27, -3, 31.903],
  [50, 2.5, 0, 58, 24, 15, 19.4535],
  [50, 2.5, 0, 50, 3.1736, 0.5854, 1],
  [50, 2.5, 0, 50, 3.2972, 0, 1],
  [50, 2.5, 0, 50, 1.8634, 0.5757, 1],
  [50, 2.5, 0, 50, 3.2592, 0.335, 1],
  [60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644],
  [63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.263],
  [61.2901, 3.7196, -5.3901, 61.4292, 2.248, -4.962, 1.8731],
  [35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645],
  [22.7233, 20.0904, -46.694, 23.0331, 14.973, -42.5619, 2.0373],
  [36.4612, 47.858, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146],
  [90.8027, -2.0831, 1.441, 91.1528, -1.6435, 0.0447, 1.4441],
  [90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381],
  [6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377],
  [2.0776, 0.0795, -1.135, 0.9033, -0.0636, -0.5514, 0.9082],
]

const first = (row: Row): Lab => ({ l: row[0], a: row[1], b: row[2] })
const second = (row: Row): Lab => ({ l: row[3], a: row[4], b: row[5] })

const lab = fc.record({
  l: fc.double({ min: 0, max: 110, noNaN: true }),
  a: fc.double({ min: -120, max: 120, noNaN: true }),
  b: fc.double({ min: -120, max: 120, noNaN: true }),
})

const culori = culoriDifference()
const byCulori = (a: Lab, b: Lab) => culori({ mode: 'lab65', ...a }, { mode: 'lab65', ...b })
const colorjs = (a: Lab, b: Lab) =>
  new Color('lab', [a.l, a.a, a.b]).deltaE(new Color('lab', [b.l, b.a, b.b]), { method: '2000' })

describe('CIEDE2000', () => {
  it('has all 34 pairs', () => expect(pairs).toHaveLength(34))

  it.each(pairs.map((row, i) => [i + 1, row] as const))('gives pair %i both ways round', (_number, row) => {
    expect(Math.abs(differenceCiede2000(first(row), second(row)) - row[6])).toBeLessThanOrEqual(1e-4)
    expect(Math.abs(differenceCiede2000(second(row), first(row)) - row[6])).toBeLessThanOrEqual(1e-4)
  })

  it('finds the same table in culori and colorjs.io', () => {
    for (const row of pairs) {
      expect(Math.abs(byCulori(first(row), second(row)) - row[6])).toBeLessThanOrEqual(1e-4)
      expect(Math.abs(colorjs(first(row), second(row)) - row[6])).toBeLessThanOrEqual(1e-4)
    }
  })

  it('agrees with culori and colorjs.io on random colours', () => {
    fc.assert(
      fc.property(lab, lab, (a, b) => {
        // opposite hues stand on a jump of the formula, where the last bit decides: both sides are right there
        const parts = differenceParts(a, b)
        const turn = Math.abs(Math.atan2(a.b, a.a) - Math.atan2(b.b, b.a))
        fc.pre(Math.abs(turn - Math.PI) > 1e-6)
        expect(Math.abs(parts.de00 - byCulori(a, b))).toBeLessThan(1e-4)
        expect(Math.abs(parts.de00 - colorjs(a, b))).toBeLessThan(1e-4)
      }),
      { numRuns: 1000 },
    )
  })

  it('is the same from both sides, its signed parts turn round, and they add up', () => {
    fc.assert(
      fc.property(lab, lab, (a, b) => {
        const there = differenceParts(a, b)
        const back = differenceParts(b, a)
        expect(back.de00).toBe(there.de00)
        expect([back.lightness, back.chroma, back.hue].map((v) => 0 - v)).toEqual([
          0 + there.lightness,
          0 + there.chroma,
          0 + there.hue,
        ])
        const sum = there.lightness ** 2 + there.chroma ** 2 + there.hue ** 2 + there.both
        expect(there.de00 ** 2).toBeCloseTo(Math.max(0, sum), 8)
      }),
      { numRuns: 1000 },
    )
  })

  it('weighs lightness by kL', () => {
    const a = { l: 40, a: 0, b: 0 }
    const b = { l: 60, a: 0, b: 0 }
    expect(differenceCiede2000(a, b, { kL: 2, kC: 1, kH: 1 })).toBeCloseTo(differenceCiede2000(a, b) / 2, 12)
  })
})
