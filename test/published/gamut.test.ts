/**
 * Colours that a screen does not have: chroma reduced at the lightness and hue of Oklab, as CSS Color Module Level 4,
 * section 13.2, describes it, against culori's `clampChroma` in OKLCh (which, like ours, leaves the local clipping out), on random
 * colours. culori searches to 1/8192 of 0.4, the range of chroma: 0.004 of an encoded channel, a step of 8 bits.
 */
import { clampChroma, converter, type P3, type Rgb } from 'culori'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fitInto } from '../../shared-core/colour/gamut.ts'
import { labToXyz } from '../../shared-core/colour/lab.ts'
import { invert3 } from '../../shared-core/colour/matrix.ts'
import { labToCssColour } from '../../shared-core/colour/screen.ts'
import { displayP3, type RgbSpace, rgbToXyzD50Matrix, srgb, xyzToRgb } from '../../shared-core/colour/spaces.ts'

const toOklch = converter('oklch')
const apart = 0.004

type Triple = [number, number, number]

const screens = [
  { name: 'sRGB', space: srgb, mode: 'rgb' as const },
  { name: 'Display P3', space: displayP3, mode: 'p3' as const },
]

const fitted = (space: RgbSpace, light: Triple, tolerance?: number) => {
  const found: Triple = [...light]
  const outside = fitInto(space, tolerance)(found)
  return { outside, encoded: found.map((v) => space.encode(v)) as Triple }
}
const farthest = (a: readonly number[], b: readonly number[]) => Math.max(...a.map((v, i) => Math.abs(v - b[i]!)))
/** Linear light from well below black to well above the primaries, of a lightness that the screen has. */
const anyLight = fc.tuple(...Array.from({ length: 3 }, () => fc.double({ min: -0.4, max: 1.6, noNaN: true })))

describe.each(screens)('into $name', ({ space, mode }) => {
  const theirs = (light: Triple) => {
    const [r, g, b] = light.map((v) => space.encode(v))
    return { mode, r: r!, g: g!, b: b! } as Rgb | P3
  }

  it('is what culori gives', () => {
    let compared = 0
    fc.assert(
      fc.property(anyLight, (light) => {
        const oklch = toOklch(theirs(light as Triple))
        // in colours as dark as the screen's first steps of 8 bits culori's last step is seen
        fc.pre(oklch.l > 0.2 && oklch.l < 0.98)
        // on the very edge rounding decides whether it is left alone, and beside pure blue the edge is hollow
        fc.pre(light.some((v) => v < -0.01 || v > 1.01))
        const back = converter(mode)(clampChroma(oklch, 'oklch', mode))
        // without our tolerance of half an 8-bit step, which culori has not
        const { encoded } = fitted(space, light as Triple, 0)
        compared++
        expect(farthest(encoded, [back.r, back.g, back.b])).toBeLessThanOrEqual(apart)
      }),
      { numRuns: 400 },
    )
    expect(compared).toBeGreaterThan(300)
  })

  it('keeps lightness and hue, and never adds chroma', () => {
    fc.assert(
      fc.property(anyLight, (light) => {
        const before = toOklch(theirs(light as Triple))
        fc.pre(before.l > 0.02 && before.l < 0.98)
        const { outside, encoded } = fitted(space, light as Triple, 0)
        const [r, g, b] = encoded
        const after = toOklch({ mode, r, g, b } as Rgb)
        expect(Math.abs(after.l - before.l)).toBeLessThanOrEqual(0.004)
        expect(after.c).toBeLessThanOrEqual(before.c + 0.002)
        if (!outside || after.c < 0.02) return
        const turn = Math.abs(((after.h ?? 0) - (before.h ?? 0) + 540) % 360) - 180
        // as an arc: a degree of a weak colour is nothing to see
        expect((Math.abs(turn) * Math.PI * after.c) / 180).toBeLessThanOrEqual(0.004)
      }),
      { numRuns: 400 },
    )
  })

  it('leaves alone what lies inside', () => {
    fc.assert(
      fc.property(fc.tuple(...Array.from({ length: 3 }, () => fc.double({ min: 0, max: 1, noNaN: true }))), (light) => {
        const { outside, encoded } = fitted(space, light as Triple)
        expect(outside).toBe(false)
        expect(farthest(encoded, light.map(space.encode))).toBeLessThanOrEqual(1e-12)
      }),
    )
  })

  it('makes white of what is lighter than white, and black of what is darker than black', () => {
    expect(fitted(space, [1.3, 1.25, 1.2])).toEqual({ outside: true, encoded: [1, 1, 1].map(space.encode) })
    expect(fitted(space, [-0.3, -0.2, -0.25])).toEqual({ outside: true, encoded: [0, 0, 0] })
  })
})

describe('a strong candy over gold', () => {
  // clipping channel by channel would turn its hue; 0.29 rad is what clipping does to it
  const candy = { l: 45, a: 78, b: 68 }

  it('is drawn in its own hue where sRGB has no such colour', () => {
    const { inSrgb, hex } = labToCssColour(candy)
    expect(inSrgb).toBe(false)
    const { r, g, b } = xyzToRgb(invert3(rgbToXyzD50Matrix(srgb)), labToXyz(candy))
    const own = toOklch({ mode: 'lrgb', r, g, b })
    const drawn = toOklch(hex)!
    expect(Math.abs(drawn.h! - own.h!)).toBeLessThanOrEqual(1)
    expect(Math.abs(drawn.l - own.l)).toBeLessThanOrEqual(0.005)
    const [cr, cg, cb] = [r, g, b].map((v) => Math.min(1, Math.max(0, v)))
    const clipped = toOklch({ mode: 'lrgb', r: cr!, g: cg!, b: cb! })
    expect(Math.abs(clipped.h! - own.h!)).toBeGreaterThan(Math.abs(drawn.h! - own.h!))
  })
})
