/**
 * The words for a difference: opposite when reference and candidate change places, and true to the colours. That a
 * shift towards +a is redder, −a greener, +b yellower, −b bluer is how CIELAB's axes are named (CIE 15:2018 section
 * 8.2.1); unique hues from CIE 159:2004 table 3; which neighbours a hue is described by is common practice, no source.
 * Directions and their weights: ISO/CIE 11664-6:2014, through the components of CIEDE2000 written out once more below.
 * Grades: half of the observers see 0.8 dE00, half no longer accept 1.8 (Paravina et al., J. Esthet. Restor. Dent. 27
 * (2015) S1–S9, abstract).
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { type Lab, labToLch } from '../../shared-core/colour/lab.ts'
import { describeDifference, differenceWords, hueName, noDifference } from '../../shared-core/colour/words.ts'

const solid = fc.record({
  l: fc.double({ min: 0, max: 115, noNaN: true }),
  a: fc.double({ min: -110, max: 110, noNaN: true }),
  b: fc.double({ min: -110, max: 110, noNaN: true }),
})
const small = fc.double({ min: -6, max: 6, noNaN: true })
/** A colour and one near it, near neutrals included: where words matter most. */
const near = fc
  .tuple(solid, fc.double({ min: 0, max: 1, noNaN: true }), small, small, small)
  .map(([c, scale, dl, da, db]): [Lab, Lab] => {
    const first = { l: c.l, a: c.a * scale ** 3, b: c.b * scale ** 3 }
    return [first, { l: first.l + dl, a: first.a + da, b: first.b + db }]
  })
const pair = fc.oneof(fc.tuple(solid, solid), near)

const lch = (l: number, c: number, h: number): Lab => ({
  l,
  a: c * Math.cos((h * Math.PI) / 180),
  b: c * Math.sin((h * Math.PI) / 180),
})

/** Written out here once more, so that the code cannot call its own mistakes opposite. */
const opposites: Record<string, readonly string[]> = {
  lighter: ['darker'],
  deeper: ['paler'],
  warmer: ['cooler'],
  'pinker in cast': ['greener in cast'],
  cleaner: ['dirtier'],
  'more colourful': ['greyer'],
  redder: ['greener', 'yellower', 'bluer'],
  yellower: ['bluer', 'redder', 'greener'],
}
const isOpposite = (a: string, b: string): boolean =>
  (opposites[a] ?? []).includes(b) ||
  (opposites[b] ?? []).includes(a) ||
  [a, b].toSorted().join() === 'bluer,greener' ||
  a.replace('more colourful, towards', 'greyer, away from') === b ||
  b.replace('more colourful, towards', 'greyer, away from') === a

describe('words for a difference', () => {
  it('turn into their opposites when reference and candidate change places', () => {
    fc.assert(
      fc.property(pair, ([a, b]) => {
        const there = differenceWords(a, b)
        const back = differenceWords(b, a)
        expect(back.map((w) => [w.axis, w.grade, w.word, w.opposite])).toEqual(
          there.map((w) => [w.axis, w.grade, w.opposite, w.word]),
        )
        for (const { word, opposite } of there) {
          expect(word).not.toBe(opposite)
          expect(isOpposite(word, opposite)).toBe(true)
        }
      }),
      { numRuns: 5000 },
    )
  })

  it('are there exactly when the difference can be seen, and the same every time', () => {
    fc.assert(
      fc.property(pair, ([a, b]) => {
        const text = describeDifference(a, b)
        expect(text === noDifference).toBe(differenceCiede2000(a, b) < 0.5)
        expect(describeDifference(a, b)).toBe(text)
      }),
      { numRuns: 2000 },
    )
  })

  it('say lighter when L* is more, cleaner or more colourful when chroma is more', () => {
    fc.assert(
      fc.property(pair, ([a, b]) => {
        const words = differenceWords(a, b)
        const lightness = words.filter((w) => w.axis === 'lightness').map((w) => w.word)
        expect(lightness).not.toContain(b.l > a.l ? 'darker' : 'lighter')
        const depth = words.find((w) => w.axis === 'depth')?.word
        expect(depth ?? 'none').not.toBe(b.l > a.l ? 'deeper' : 'paler')
        // C′ of the formula stretches a: away from equality it orders as chroma does
        const more = labToLch(b).c - labToLch(a).c
        fc.pre(Math.abs(more) > 10)
        const chroma = words.filter((w) => w.axis === 'chroma').map((w) => /^(cleaner|more)/.test(w.word))
        expect(chroma).not.toContain(more < 0)
      }),
      { numRuns: 2000 },
    )
  })

  it('name a hue that the candidate is nearer to than the reference is', () => {
    const unique: Record<string, number> = { redder: 20.14, yellower: 90, greener: 164.25, bluer: 237.53 }
    const angle = fc.double({ min: 0, max: 360, noNaN: true })
    fc.assert(
      fc.property(
        angle,
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.integer({ min: 60, max: 90 }),
        (h, turn, c) => {
          const [a, b] = [lch(50, c, h), lch(50, c, h + turn)]
          for (const { axis, word } of differenceWords(a, b)) {
            if (axis !== 'hue') continue
            const away = (x: Lab) => Math.abs(((labToLch(x).h - (unique[word] ?? Number.NaN) + 540) % 360) - 180)
            expect(away(b)).toBeLessThan(away(a))
          }
        },
      ),
      { numRuns: 2000 },
    )
  })

  it.each([
    ['a yellow turned on', lch(75, 70, 92), lch(75, 70, 99), /greener/],
    ['a yellow turned back', lch(75, 70, 92), lch(75, 70, 85), /redder/],
    ['an orange turned on', lch(60, 70, 55), lch(60, 70, 62), /yellower/],
    ['an orange turned back', lch(60, 70, 55), lch(60, 70, 48), /redder/],
    ['a red turned back', lch(45, 60, 22), lch(45, 60, 15), /bluer/],
    ['a teal turned on', lch(45, 40, 200), lch(45, 40, 210), /bluer/],
    ['a teal turned back', lch(45, 40, 200), lch(45, 40, 190), /greener/],
    ['a blue turned on', lch(40, 45, 245), lch(40, 45, 255), /redder/],
    ['a violet turned on', lch(35, 45, 300), lch(35, 45, 310), /redder/],
    ['a green turned back', lch(50, 50, 165), lch(50, 50, 155), /yellower/],
  ])('describe %s as painters do', (_name, a, b, word) => expect(describeDifference(a, b)).toMatch(word))

  it('give near neutrals a lean instead of a hue', () => {
    const grey = { l: 60, a: 0, b: 0 }
    expect(describeDifference(grey, { l: 60, a: 0.9, b: 0 })).toBe('A little pinker in cast')
    expect(describeDifference(grey, { l: 60, a: -0.9, b: 0 })).toBe('A little greener in cast')
    expect(describeDifference(grey, { l: 60, a: 0, b: 3 })).toBe('Clearly warmer')
    expect(describeDifference(grey, { l: 60, a: 0, b: -3 })).toBe('Clearly cooler')
    // a bluish grey against a yellowish one: the hue circle would have to be crossed
    expect(describeDifference({ l: 60, a: 0, b: -2 }, { l: 60, a: 0, b: 2 })).toBe('Clearly warmer')
  })

  it('say what another coat of candy does: deeper where it is darker and more colourful at once', () => {
    expect(describeDifference(lch(52, 40, 40), lch(48, 48, 40))).toBe('Clearly deeper')
    expect(describeDifference(lch(48, 48, 40), lch(52, 40, 40))).toBe('Clearly paler')
    // mostly darker stays darker
    expect(describeDifference(lch(52, 40, 40), lch(44, 42.5, 40))).toBe('Much darker, a little cleaner')
  })

  it('say towards which hue a grey and a colour differ', () => {
    expect(describeDifference({ l: 50, a: 0, b: 0 }, lch(50, 40, 25))).toBe('Much more colourful, towards red')
    expect(describeDifference(lch(50, 40, 25), { l: 50, a: 0, b: 0 })).toBe('Much greyer, away from red')
  })

  it('grade by dE00', () => {
    // at L* 50 SL is 1 to within 2 %, so ΔL* is dE00 there
    const from = { l: 50, a: 0, b: 0 }
    expect(describeDifference(from, { l: 49.7, a: 0, b: 0 })).toBe(noDifference)
    expect(describeDifference(from, { l: 49.2, a: 0, b: 0 })).toBe('A touch darker')
    expect(describeDifference(from, { l: 48.5, a: 0, b: 0 })).toBe('A little darker')
    expect(describeDifference(from, { l: 49.1, a: 0, b: 0 })).toBe('A little darker')
    expect(describeDifference(from, { l: 51.7, a: 0, b: 0 })).toBe('A little lighter')
    expect(describeDifference(from, { l: 52, a: 0, b: 0 })).toBe('Clearly lighter')
    expect(describeDifference(from, { l: 58, a: 0, b: 0 })).toBe('Much lighter')
    expect(describeDifference(lch(60, 60, 55), lch(60, 50, 55))).toBe('Clearly dirtier')
  })

  it('name every hue once round', () => {
    expect([20, 55, 90, 127, 164, 200, 238, 300, 359].map(hueName)).toEqual([
      'red',
      'orange',
      'yellow',
      'yellow-green',
      'green',
      'turquoise',
      'blue',
      'purple',
      'red',
    ])
  })
})
