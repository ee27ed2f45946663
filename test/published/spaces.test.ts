/**
 * Bradford adaptation, CIELAB and the RGB spaces against two independent implementations, culori and colorjs.io, on
 * random colours, and against the matrices printed in IEC 61966-2-1:1999 and Adobe RGB (1998) Color Image Encoding,
 * 2005-05. Both packages take D50 from the chromaticity 0.3457, 0.3585; ICC profiles state 0.9642, 1, 0.8249. The
 * mathematics is checked with their white, then the step to ours is bounded.
 */
import Color from 'colorjs.io'
import { converter } from 'culori'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { adapt, adaptationMatrix } from '../../shared-core/colour/adaptation.ts'
import {
  type Lab,
  labToLch,
  labToXyz,
  lightnessOf,
  type Rgb,
  whiteOfChromaticity,
  whites,
  xyzToLab,
} from '../../shared-core/colour/lab.ts'
import { invert3, multiply3 } from '../../shared-core/colour/matrix.ts'
import { labToCssColour } from '../../shared-core/colour/screen.ts'
import {
  adobeRgb,
  decodeRgb,
  displayP3,
  encodeRgb,
  proPhotoRgb,
  type RgbSpace,
  rec2020,
  rgbToXyz,
  rgbToXyzD50Matrix,
  rgbToXyzMatrix,
  srgb,
  xyzToRgb,
} from '../../shared-core/colour/spaces.ts'

const theirD50 = whiteOfChromaticity(0.3457, 0.3585)
const unit = fc.double({ min: 0, max: 1, noNaN: true })
const rgb = fc.record({ r: unit, g: unit, b: unit })
const labs = fc.record({
  l: fc.double({ min: 0, max: 120, noNaN: true }),
  a: fc.double({ min: -100, max: 100, noNaN: true }),
  b: fc.double({ min: -100, max: 100, noNaN: true }),
})

const toXyz65 = converter('xyz65')
const toXyz50 = converter('xyz50')
const toLab = converter('lab')
const toLch = converter('lch')

/** Our space, its name in culori, its name in colorjs.io. */
const spaces = [
  [srgb, 'rgb', 'srgb'],
  [displayP3, 'p3', 'p3'],
  [adobeRgb, 'a98', 'a98rgb'],
  [proPhotoRgb, 'prophoto', 'prophoto'],
  // colorjs.io 0.7 reads Rec. 2020 through the screen curve of BT.1886, not the camera curve of BT.2020
  [rec2020, 'rec2020', null],
] as const

function labIn(space: RgbSpace, encoded: Rgb): Lab {
  const white = whiteOfChromaticity(...space.white)
  const xyz = rgbToXyz(rgbToXyzMatrix(space), decodeRgb(space, encoded))
  return xyzToLab(adapt(xyz, white, theirD50), theirD50)
}

/** Largest distance between two lists of numbers; NaN where the second is shorter or has no value. */
function farthest(found: readonly (number | null)[], wanted: readonly (number | null | undefined)[]): number {
  return Math.max(...found.map((v, i) => Math.abs((v ?? Number.NaN) - (wanted[i] ?? Number.NaN))))
}

describe('RGB spaces', () => {
  it.each(spaces)('$name agrees with culori and colorjs.io', (space, culoriName, colorjsName) => {
    fc.assert(
      fc.property(rgb, (encoded) => {
        const found = labIn(space, encoded)
        const culori = toLab({ mode: culoriName, ...encoded })
        expect(farthest([found.l, found.a, found.b], [culori.l, culori.a, culori.b])).toBeLessThanOrEqual(2e-3)
        if (colorjsName === null) return
        const colorjs = new Color(colorjsName, [encoded.r, encoded.g, encoded.b]).to('lab').coords
        expect(farthest([found.l, found.a, found.b], colorjs)).toBeLessThanOrEqual(2e-3)
      }),
      { numRuns: 500 },
    )
  })

  it.each([
    [srgb, 'rgb'],
    [displayP3, 'p3'],
    [adobeRgb, 'a98'],
    [rec2020, 'rec2020'],
  ] as const)('$name reaches XYZ under D65 as culori does', (space, name) => {
    fc.assert(
      fc.property(rgb, (encoded) => {
        const found = rgbToXyz(rgbToXyzMatrix(space), decodeRgb(space, encoded))
        const wanted = toXyz65({ mode: name, ...encoded })
        expect(farthest([found.x, found.y, found.z], [wanted.x, wanted.y, wanted.z])).toBeLessThanOrEqual(1e-12)
      }),
      { numRuns: 300 },
    )
  })

  it('prints the matrices of IEC 61966-2-1 and of Adobe RGB (1998), to their four and five places', () => {
    expect(
      farthest(rgbToXyzMatrix(srgb), [0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505]),
    ).toBeLessThanOrEqual(5.1e-5)
    expect(
      farthest(
        rgbToXyzMatrix(adobeRgb),
        [0.57667, 0.18556, 0.18823, 0.29734, 0.62736, 0.07529, 0.02703, 0.07069, 0.99134],
      ),
    ).toBeLessThanOrEqual(5.1e-6)
    // the same document, section 4.3.5.3: to XYZ D50
    expect(
      farthest(
        rgbToXyzD50Matrix(adobeRgb),
        [0.60974, 0.20528, 0.14919, 0.31111, 0.62567, 0.06322, 0.01947, 0.06087, 0.74457],
      ),
    ).toBeLessThanOrEqual(3e-5)
  })

  it('decodes and encodes back, also outside 0..1', () => {
    const wide = fc.double({ min: -0.5, max: 1.5, noNaN: true })
    for (const [space] of spaces)
      fc.assert(
        fc.property(fc.record({ r: wide, g: wide, b: wide }), (encoded) => {
          const back = encodeRgb(space, decodeRgb(space, encoded))
          expect(farthest([back.r, back.g, back.b], [encoded.r, encoded.g, encoded.b])).toBeLessThanOrEqual(2e-4)
        }),
      )
  })

  it('comes back through the inverse matrix', () => {
    const matrix = rgbToXyzD50Matrix(displayP3)
    fc.assert(
      fc.property(rgb, (linear) => {
        const back = xyzToRgb(invert3(matrix), rgbToXyz(matrix, linear))
        expect(farthest([back.r, back.g, back.b], [linear.r, linear.g, linear.b])).toBeLessThanOrEqual(1e-12)
      }),
    )
  })
})

describe('Bradford adaptation', () => {
  it('gives the matrix D65 → D50 that CSS Color 4 prints (as carried by colorjs.io)', () => {
    expect(
      farthest(
        adaptationMatrix(whiteOfChromaticity(0.3127, 0.329), theirD50),
        [
          1.0479297925449969, 0.022946870601609652, -0.05019226628920524, 0.02962780877005599, 0.9904344267538799,
          -0.017073799063418826, -0.009243040646204504, 0.015055191490298152, 0.7518742814281371,
        ],
      ),
    ).toBeLessThanOrEqual(1e-12)
  })

  it('agrees with culori on random colours', () => {
    fc.assert(
      fc.property(rgb, ({ r, g, b }) => {
        const found = adapt({ x: r, y: g, z: b }, whiteOfChromaticity(0.3127, 0.329), theirD50)
        const wanted = toXyz50({ mode: 'xyz65', x: r, y: g, z: b })
        expect(farthest([found.x, found.y, found.z], [wanted.x, wanted.y, wanted.z])).toBeLessThanOrEqual(2e-5)
      }),
    )
  })

  it('turns one white into the other, and back is its inverse', () => {
    for (const from of Object.values(whites))
      for (const to of Object.values(whites)) {
        const there = adapt(from, from, to)
        expect(farthest([there.x, there.y, there.z], [to.x, to.y, to.z])).toBeLessThanOrEqual(1e-12)
        expect(
          farthest(multiply3(adaptationMatrix(to, from), adaptationMatrix(from, to)), [1, 0, 0, 0, 1, 0, 0, 0, 1]),
        ).toBeLessThanOrEqual(1e-12)
      }
  })
})

describe('CIELAB', () => {
  it('agrees with culori and colorjs.io in both directions', () => {
    fc.assert(
      fc.property(labs, (lab) => {
        const xyz = labToXyz(lab, theirD50)
        const culori = toXyz50({ mode: 'lab', ...lab })
        expect(farthest([xyz.x, xyz.y, xyz.z], [culori.x, culori.y, culori.z])).toBeLessThanOrEqual(1e-9)
        expect(
          farthest([xyz.x, xyz.y, xyz.z], new Color('lab', [lab.l, lab.a, lab.b]).to('xyz-d50').coords),
        ).toBeLessThanOrEqual(1e-9)
        const back = xyzToLab(xyz, theirD50)
        expect(farthest([back.l, back.a, back.b], [lab.l, lab.a, lab.b])).toBeLessThanOrEqual(1e-9)
      }),
      { numRuns: 500 },
    )
  })

  it('comes back under every white', () => {
    for (const white of Object.values(whites))
      fc.assert(
        fc.property(labs, (lab) => {
          const back = xyzToLab(labToXyz(lab, white), white)
          expect(farthest([back.l, back.a, back.b], [lab.l, lab.a, lab.b])).toBeLessThanOrEqual(1e-9)
        }),
      )
  })

  it('moves by less than 0.02 when D50 is that of ICC profiles instead of theirs', () => {
    fc.assert(
      fc.property(rgb, (encoded) => {
        const ours = xyzToLab(rgbToXyz(rgbToXyzD50Matrix(srgb), decodeRgb(srgb, encoded)))
        const theirs = toLab({ mode: 'rgb', ...encoded })
        expect(farthest([ours.l, ours.a, ours.b], [theirs.l, theirs.a, theirs.b])).toBeLessThanOrEqual(0.02)
      }),
      { numRuns: 500 },
    )
  })

  it('puts 18.418651851 % at L* 50 (24389 / 27 and 16 / 116 worked by hand: (66 / 116)³)', () => {
    expect(lightnessOf((66 / 116) ** 3)).toBeCloseTo(50, 12)
    expect(lightnessOf(1)).toBe(100)
    expect(lightnessOf(0)).toBeCloseTo(0, 12)
    expect(lightnessOf(1.2)).toBeGreaterThan(100)
  })

  it('turns a and b into chroma and hue as culori does', () => {
    fc.assert(
      fc.property(labs, (lab) => {
        fc.pre(Math.hypot(lab.a, lab.b) > 1e-3)
        const found = labToLch(lab)
        const wanted = toLch({ mode: 'lab', ...lab })
        expect(
          farthest(
            [found.c, Math.cos((found.h * Math.PI) / 180)],
            [wanted.c, Math.cos(((wanted.h ?? 0) * Math.PI) / 180)],
          ),
        ).toBeLessThanOrEqual(1e-9)
      }),
    )
  })
})

function labOf(name: string, coords: [number, number, number]): Lab {
  const [l, a, b] = new Color(name, coords).to('lab').coords
  return { l: l ?? 0, a: a ?? 0, b: b ?? 0 }
}

describe('screen colours', () => {
  it('are those of colorjs.io inside the screen, and back to the same Lab', () => {
    fc.assert(
      fc.property(rgb, (encoded) => {
        const lab = xyzToLab(rgbToXyz(rgbToXyzD50Matrix(srgb), decodeRgb(srgb, encoded)))
        const found = labToCssColour(lab)
        expect(found.inSrgb).toBe(true)
        expect(found.inP3).toBe(true)
        const p3 = new Color(found.css).coords
        expect(farthest(p3, new Color('srgb', [encoded.r, encoded.g, encoded.b]).to('p3').coords)).toBeLessThanOrEqual(
          1e-3,
        )
        const hex = new Color(found.hex).coords
        expect(farthest(hex, [encoded.r, encoded.g, encoded.b])).toBeLessThanOrEqual(1 / 510 + 1e-3)
      }),
      { numRuns: 300 },
    )
  })

  it('say what the screen cannot show', () => {
    expect(labToCssColour(labOf('p3', [0, 1, 0]))).toMatchObject({ inSrgb: false, inP3: true })
    expect(labToCssColour(labOf('rec2020', [0, 1, 0]))).toMatchObject({ inSrgb: false, inP3: false })
    // bright silver: lighter than the screen's white
    expect(labToCssColour({ l: 108, a: 0, b: 1 })).toMatchObject({ inSrgb: false, inP3: false, hex: '#ffffff' })
    expect(labToCssColour({ l: 100, a: 0, b: 0 })).toMatchObject({ inSrgb: true, inP3: true, hex: '#ffffff' })
  })
})
