/**
 * The chance that two colours are the same. Values of the noncentral chi-squared distribution with 3 degrees of freedom
 * from SciPy 1.17.1 (scipy.stats.ncx2.cdf(R², 3, λ²)), the same to 15 digits by mpmath's integration of the density
 * with 30 digits; error function from scipy.special, its first digits in Abramowitz and Stegun, Handbook of
 * Mathematical Functions (1964), table 7.1; central values from table 26.8 there. And by trial: random errors in
 * CIEDE2000 itself.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { differenceFrame } from '../../shared-core/colour/difference-frame.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { chanceSame, chanceWithin, couldBeSame, erf, erfc, sigmasIn90 } from '../../shared-core/match/chance.ts'

const erfTable = [
  [1e-8, 1.1283791670955125e-8, 0.9999999887162083],
  [0.1, 0.1124629160182849, 0.8875370839817152],
  [0.5, 0.5204998778130465, 0.4795001221869535],
  [1, 0.8427007929497149, 0.15729920705028516],
  [2, 0.9953222650189527, 0.004677734981047265],
  [2.4, 0.9993114861033549, 0.0006885138966450784],
  [2.5, 0.999593047982555, 0.00040695201744495886],
  [2.6, 0.9997639655834707, 0.0002360344165293489],
  [4, 0.9999999845827421, 1.541725790028002e-8],
  [8, 1, 1.1224297172982928e-29],
  [12, 1, 1.3562611692059043e-64],
] as const

/** R, λ, F. */
const noncentral = [
  [0.5, 0.1, 0.03071324974501387],
  [1, 1, 0.13229855416357617],
  [0.4, 3, 0.0002073420696376699],
  [2, 1.5, 0.4571014028154751],
  [2.5, 0.7, 0.8540024428071165],
  [3, 6, 0.0006112566296404267],
  [10, 9, 0.8144591100108604],
  [25, 24, 0.831262632546912],
  [0.2, 8, 3.407588376701711e-17],
] as const

describe('the error function', () => {
  it.each(erfTable)('erf and erfc of %d', (x, value, rest) => {
    expect(Math.abs(erf(x) - value)).toBeLessThan(1e-14)
    expect(Math.abs(erf(-x) + value)).toBeLessThan(1e-14)
    expect(Math.abs(erfc(x) / rest - 1)).toBeLessThan(1e-12)
    expect(Math.abs(erfc(-x) - 1 - value)).toBeLessThan(1e-14)
  })
})

describe('a point with three normal errors', () => {
  it.each(noncentral)('lies within %d of the origin, its mean %d away', (radius, distance, chance) =>
    expect(Math.abs(chanceWithin(radius, distance) - chance)).toBeLessThan(1e-14),
  )

  it('is the central distribution without a distance, and nearly so beside it', () => {
    // chi-squared with 3 degrees of freedom, table 26.8
    for (const [square, beyond] of [
      [0.584374, 0.9],
      [2.36597, 0.5],
      [6.25139, 0.1],
      [7.81473, 0.05],
      [11.3449, 0.01],
    ] as const) {
      expect(chanceWithin(Math.sqrt(square), 0)).toBeCloseTo(1 - beyond, 5)
      for (const tiny of [1e-9, 1e-160, 9e-323])
        expect(chanceWithin(Math.sqrt(square), tiny)).toBeCloseTo(chanceWithin(Math.sqrt(square), 0), 12)
    }
    expect(chanceWithin(sigmasIn90, 0)).toBeCloseTo(0.9, 14)
  })

  it('is the integral of its density', () => {
    const phi = (u: number) => Math.exp(-(u * u) / 2) / Math.sqrt(2 * Math.PI)
    for (const radius of [0.3, 1.1, 2.7, 6])
      for (const distance of [0.05, 0.8, 2.9, 7]) {
        const density = (r: number) => (r / distance) * (phi(r - distance) - phi(r + distance))
        // Simpson's rule
        const steps = 2000
        let sum = 0
        for (let i = 0; i <= steps; i++) {
          const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2
          sum += weight * density((i * radius) / steps)
        }
        expect(chanceWithin(radius, distance)).toBeCloseTo((sum * radius) / steps / 3, 10)
      }
  })
})

/** Errors of standard deviation `sigma` in each direction of CIEDE2000 at a colour. */
function errorAt(lab: Lab, sigma: number, normal: () => number): Lab {
  const f = differenceFrame(lab)
  const [p, q] = [sigma * normal(), sigma * normal()]
  const det = f[4]! * f[8]! - f[5]! * f[7]!
  return {
    l: lab.l + (sigma * normal()) / f[0]!,
    a: lab.a + (f[8]! * p - f[5]! * q) / det,
    b: lab.b + (f[4]! * q - f[7]! * p) / det,
  }
}

describe('the chance that two colours are the same', () => {
  it('is how often they are, errors being thrown in CIEDE2000 itself', () => {
    const random = randomFrom('chance')
    const between = (from: number, to: number) => from + (to - from) * random.next()
    const throws = 4000
    for (let i = 0; i < 40; i++) {
      const chroma = between(0, 70)
      const hue = between(0, 2 * Math.PI)
      const read = { l: between(15, 105), a: chroma * Math.cos(hue), b: chroma * Math.sin(hue) }
      const bound90 = between(0.3, 3)
      const other = errorAt(read, between(0.1, 1.2), () => random.normal())
      const limit = between(0.5, 2.5)
      let same = 0
      for (let n = 0; n < throws; n++)
        if (
          differenceCiede2000(
            read,
            errorAt(other, bound90 / sigmasIn90, () => random.normal()),
          ) <= limit
        )
          same++
      const said = chanceSame(differenceCiede2000(read, other), bound90, limit)
      // three standard deviations of the count, and 1 in 100 for CIEDE2000 not being quite Euclidean
      expect(Math.abs(same / throws - said)).toBeLessThan(0.01 + 3 * Math.sqrt((said * (1 - said)) / throws))
    }
  })

  const size = (max: number) => fc.double({ min: 0, max, noNaN: true })

  it('lies between 0 and 1, falls as they lie farther apart and rises with the limit', () => {
    fc.assert(
      fc.property(size(60), size(30), size(20), size(5), (de00, bound90, limit, more) => {
        const chance = chanceSame(de00, bound90, limit)
        expect(chance).toBeGreaterThanOrEqual(0)
        expect(chance).toBeLessThanOrEqual(1)
        expect(chanceSame(de00 + more, bound90, limit)).toBeLessThanOrEqual(chance + 1e-12)
        expect(chanceSame(de00, bound90, limit + more)).toBeGreaterThanOrEqual(chance - 1e-12)
      }),
      { numRuns: 3000 },
    )
  })

  it('is below Φ(−2.5003), 0.0062, wherever they could not be the same', () => {
    const most = erfc(sigmasIn90 / Math.SQRT2) / 2
    expect(most).toBeCloseTo(0.0062, 4)
    fc.assert(
      fc.property(size(30), size(20), size(20), (bound90, limit, beyond) => {
        const de00 = limit + bound90 + beyond + 1e-9
        expect(couldBeSame(de00, bound90, limit)).toBe(false)
        expect(chanceSame(de00, bound90, limit)).toBeLessThanOrEqual(most)
      }),
      { numRuns: 3000 },
    )
  })

  it('is a plain yes or no where nothing is in doubt', () => {
    expect(chanceSame(0.9, 0, 1)).toBe(1)
    expect(chanceSame(1.1, 0, 1)).toBe(0)
    expect(chanceSame(0.9, 1e-9, 1)).toBeCloseTo(1, 12)
    expect(chanceSame(1.1, 1e-9, 1)).toBeCloseTo(0, 12)
  })

  it('is small for what nobody knows: alike to the last digit, ± 5, within 1', () =>
    expect(chanceSame(0, 5, 1)).toBeCloseTo(0.0309, 3))
})
