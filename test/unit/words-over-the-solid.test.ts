/**
 * Words for differences over the whole solid: a dense grid of Lab with L* above 100 and saturated blues, and random
 * pairs. What a word claims is checked against signs and sizes of the components of CIEDE2000, written out here once
 * more from ISO/CIE 11664-6:2014 (Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21–30, eqs 2–21).
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { type DifferenceWord, differenceWords } from '../../shared-core/colour/words.ts'

const rad = Math.PI / 180

/** ΔL′/SL, ΔC′/SC, ΔH′/SH, both C′, and how near the hues lie to opposite, where either way round is as right. */
function componentsOf(a: Lab, b: Lab) {
  const mean = (Math.hypot(a.a, a.b) + Math.hypot(b.a, b.b)) / 2
  const g = 0.5 * (1 - Math.sqrt(mean ** 7 / (mean ** 7 + 25 ** 7)))
  const [a1, a2] = [(1 + g) * a.a, (1 + g) * b.a]
  const [c1, c2] = [Math.hypot(a1, a.b), Math.hypot(a2, b.b)]
  const angle = (x: number, y: number) => (Math.atan2(y, x) / rad + 360) % 360
  const [h1, h2] = [angle(a1, a.b), angle(a2, b.b)]
  let turn = h2 - h1
  let middle = (h1 + h2) / 2
  if (Math.abs(turn) > 180) {
    turn -= 360 * Math.sign(turn)
    middle += middle < 180 ? 180 : -180
  }
  const [l, c] = [(a.l + b.l) / 2, (c1 + c2) / 2]
  const t =
    1 -
    0.17 * Math.cos((middle - 30) * rad) +
    0.24 * Math.cos(2 * middle * rad) +
    0.32 * Math.cos((3 * middle + 6) * rad) -
    0.2 * Math.cos((4 * middle - 63) * rad)
  const share = Math.sqrt(c ** 7 / (c ** 7 + 25 ** 7))
  const rotation = -2 * share * Math.sin(60 * rad * Math.exp(-(((middle - 275) / 25) ** 2)))
  const found = {
    lightness: (b.l - a.l) / (1 + (0.015 * (l - 50) ** 2) / Math.sqrt(20 + (l - 50) ** 2)),
    chroma: (c2 - c1) / (1 + 0.045 * c),
    hue: (2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * rad)) / (1 + 0.015 * c * t),
    low: Math.min(c1, c2),
    high: Math.max(c1, c2),
    opposite: 180 - Math.abs(turn),
  }
  // chroma and hue are told so that squares add up, what the rotation term says of both being shared
  const chromatic = found.chroma ** 2 + found.hue ** 2
  const both = rotation * found.chroma * found.hue
  const k = chromatic === 0 ? 1 : Math.sqrt(Math.max(0, chromatic + both) / chromatic)
  return { ...found, chroma: k * found.chroma, hue: k * found.hue }
}

const isHueWord = (word: string) => /^(redder|yellower|greener|bluer)$/.test(word)
const ranks = ['touch', 'little', 'clear', 'much']
const rankOf = (words: readonly DifferenceWord[], axis?: string) =>
  Math.max(-1, ...words.filter((w) => axis === undefined || w.axis === axis).map((w) => ranks.indexOf(w.grade)))

/** Everything that must hold for any pair: what does not, the first of it. */
function whatFails(a: Lab, b: Lab): string | null {
  const words = differenceWords(a, b)
  let failed: string | null = null
  const must = (holds: boolean, what: string) => {
    if (!holds) failed ??= `${what}: ${JSON.stringify({ a, b, words })}`
  }
  const de00 = differenceCiede2000(a, b)
  must((words.length === 0) === de00 < 0.5, 'words exactly where it can be seen')

  const back = differenceWords(b, a)
  must(back.length === words.length, 'as many words the other way')
  words.forEach((word, i) => {
    const other = back[i]!
    must(word.word === other.opposite && word.opposite === other.word, 'the opposite word the other way')
    must(word.grade === other.grade && word.axis === other.axis, 'the same grade the other way')
    must(word.word !== word.opposite, 'two words')
    must(i === 0 || words[i - 1]!.de00 >= word.de00, 'the largest first')
  })
  const squares = words.reduce((sum, { de00: size }) => sum + size ** 2, 0)
  must(squares <= de00 ** 2 * (1 + 1e-9), 'the squares of the parts within that of the whole')
  must(new Set(words.map(({ word }) => word)).size === words.length, 'no word twice')

  const c = componentsOf(a, b)
  const expected = (axis: DifferenceWord['axis']) => {
    if (axis === 'lightness') return Math.abs(c.lightness)
    if (axis === 'depth') return Math.hypot(c.lightness, c.chroma)
    if (axis === 'chroma' && c.low >= 5) return Math.abs(c.chroma)
    return axis === 'hue' ? Math.abs(c.hue) : null
  }
  for (const { axis, word, de00: size } of words) {
    const wanted = expected(axis)
    if (wanted !== null && c.opposite > 1e-6) must(Math.abs(size - wanted) < 1e-9, 'the size of its component')
    if (word === 'lighter' || word === 'paler') must(c.lightness > 0, 'lighter')
    if (word === 'darker' || word === 'deeper') must(c.lightness < 0, 'darker')
    if (/^(deeper|cleaner|more colourful)/.test(word)) must(c.chroma > 0, 'more chroma')
    if (/^(paler|dirtier|greyer)/.test(word)) must(c.chroma < 0, 'less chroma')
    if (word === 'warmer') must(b.b > a.b, 'warmer')
    if (word === 'cooler') must(b.b < a.b, 'cooler')
    if (word === 'pinker in cast') must(b.a > a.a, 'pinker')
    if (word === 'greener in cast') must(b.a < a.a, 'greener')
    if (isHueWord(word)) must(c.low >= 5, 'no hue of a neutral')
    if (axis === 'cast') must(c.low < 5 && c.high < 10, 'a cast of neutrals only')
  }
  // what is large is not left out: lightness has its own word, or is part of depth
  if (Math.abs(c.lightness) >= 0.5 + 1e-9)
    must(
      words.some(({ axis }) => axis === 'lightness' || axis === 'depth'),
      'lightness is told',
    )
  if (c.low >= 5 && Math.abs(c.hue) >= 0.5 + 1e-9 && c.opposite > 1e-6)
    must(
      words.some(({ axis }) => axis === 'hue'),
      'hue is told',
    )
  return failed
}

describe('words over the solid', () => {
  it('hold on a dense grid, to near colours in 26 directions and to far ones', () => {
    const directions = [-1, 0, 1].flatMap((l) => [-1, 0, 1].flatMap((a) => [-1, 0, 1].map((b) => ({ l, a, b }))))
    let pairs = 0
    let failed: string | null = null
    for (let l = 0; l <= 120; l += 8)
      for (let a = -120; a <= 120; a += 12)
        for (let b = -130; b <= 120; b += 12.5)
          for (const way of directions)
            for (const far of [0.7, 3, 20]) {
              failed ??= whatFails({ l, a, b }, { l: l + far * way.l, a: a + far * way.a, b: b + far * way.b })
              pairs++
            }
    expect(failed).toBeNull()
    expect(pairs).toBe(16 * 21 * 21 * 27 * 3)
  })

  it('hold near the neutral axis, on a finer grid', () => {
    let failed: string | null = null
    for (let a = -12; a <= 12; a += 1)
      for (let b = -12; b <= 12; b += 1)
        for (let da = -4; da <= 4; da += 1)
          for (let db = -4; db <= 4; db += 1) failed ??= whatFails({ l: 55, a, b }, { l: 55.3, a: a + da, b: b + db })
    expect(failed).toBeNull()
  })

  const solid = fc.record({
    l: fc.double({ min: 0, max: 125, noNaN: true }),
    a: fc.double({ min: -128, max: 128, noNaN: true }),
    b: fc.double({ min: -140, max: 128, noNaN: true }),
  })
  it('hold for random pairs', () => {
    fc.assert(
      fc.property(solid, solid, (a, b) => {
        expect(whatFails(a, b)).toBeNull()
      }),
      { numRuns: 20_000 },
    )
  })

  it('never say a hue of greys', () => {
    const little = fc.double({ min: -3.2, max: 3.2, noNaN: true })
    const grey = fc.record({ l: fc.double({ min: 0, max: 120, noNaN: true }), a: little, b: little })
    fc.assert(
      fc.property(grey, grey, (a, b) => {
        const c = componentsOf(a, b)
        fc.pre(c.high < 5)
        expect(differenceWords(a, b).every(({ axis, word }) => axis !== 'hue' && !isHueWord(word))).toBe(true)
      }),
      { numRuns: 5000 },
    )
  })

  const share = fc.double({ min: 0.02, max: 1, noNaN: true })
  it('never grade a larger difference lower: in lightness, in chroma, in hue', () => {
    const lch = (l: number, c: number, h: number): Lab => ({ l, a: c * Math.cos(h * rad), b: c * Math.sin(h * rad) })
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true })
    fc.assert(
      fc.property(number(0, 120), number(12, 110), number(0, 360), number(-60, 60), share, (l, c, h, to, part) => {
        const from = lch(l, c, h)
        const grade = (other: Lab, axis: string) => rankOf(differenceWords(from, other), axis)
        expect(grade(lch(l + part * to, c, h), 'lightness')).toBeLessThanOrEqual(grade(lch(l + to, c, h), 'lightness'))
        // C′ stays above 10 all the way: no change from hue to lean
        const less = Math.max(to, 12 - c)
        expect(grade(lch(l, c + part * less, h), 'chroma')).toBeLessThanOrEqual(grade(lch(l, c + less, h), 'chroma'))
      }),
      { numRuns: 5000 },
    )
    // hue: SH changes with the angle, so only as far as one hue is another's neighbour
    fc.assert(
      fc.property(number(12, 110), number(0, 360), number(-25, 25), share, (c, h, to, part) => {
        const from = lch(50, c, h)
        const grade = (turn: number) => rankOf(differenceWords(from, lch(50, c, h + turn)), 'hue')
        expect(grade(part * to)).toBeLessThanOrEqual(grade(to))
      }),
      { numRuns: 5000 },
    )
  })
})
