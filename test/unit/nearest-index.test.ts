/** Against a full scan with the formula itself, which is checked against its published pairs in test/published. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type DifferenceWeights, differenceCiede2000, differenceParts } from '../../shared-core/colour/difference.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { lightnessBound, regionWithin, squareAtLeast } from '../../shared-core/match/nearest/bounds.ts'
import { NearestIndex, type Question } from '../../shared-core/match/nearest/nearest-index.ts'
import type { Entry } from '../../shared-core/match/nearest/rows.ts'

const unit: DifferenceWeights = { kL: 1, kC: 1, kH: 1 }

function fullScan(entries: readonly Entry[], reference: Lab, question: Question) {
  const { count, weights = unit, accepts = () => true, groupOf = (id: number) => id } = question
  const { within = Number.POSITIVE_INFINITY, isOlder = (one: number, other: number) => one < other } = question
  const seen = new Set<number>()
  return entries
    .filter(({ id }) => accepts(id))
    .map(({ id, lab }) => ({ id, de00: differenceCiede2000(reference, lab, weights) }))
    .filter(({ de00 }) => de00 <= within)
    .toSorted((a, b) => a.de00 - b.de00 || (isOlder(a.id, b.id) ? -1 : 1))
    .filter(({ id }) => {
      const group = groupOf(id)
      if (seen.has(group)) return false
      seen.add(group)
      return true
    })
    .slice(0, count)
}

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const anyLab = fc.record({ l: number(0, 100), a: number(-110, 110), b: number(-110, 110) })
const nearLab = (at: Lab, spread: number) =>
  fc.record({
    l: number(at.l - spread, at.l + spread),
    a: number(at.a - spread, at.a + spread),
    b: number(at.b - spread, at.b + spread),
  })
/** Clusters, colours that stand there several times, neutrals, the blues where the formula turns, and all the same. */
const sets = {
  clustered: fc.array(anyLab, { minLength: 1, maxLength: 5 }).chain((middles) =>
    fc.array(
      fc.constantFrom(...middles).chain((at) => nearLab(at, 4)),
      { minLength: 1, maxLength: 300 },
    ),
  ),
  'standing there several times': fc
    .array(anyLab, { minLength: 1, maxLength: 12 })
    .chain((few) => fc.array(fc.constantFrom(...few), { minLength: 1, maxLength: 120 })),
  neutral: fc.array(fc.record({ l: number(0, 100), a: number(-0.5, 0.5), b: number(-0.5, 0.5) }), {
    minLength: 1,
    maxLength: 200,
  }),
  'without any chroma': fc.array(fc.record({ l: number(0, 100), a: fc.constant(0), b: fc.constant(0) }), {
    minLength: 1,
    maxLength: 60,
  }),
  blue: fc.array(fc.record({ l: number(10, 60), a: number(-20, 60), b: number(-100, -20) }), {
    minLength: 1,
    maxLength: 300,
  }),
  scattered: fc.array(anyLab, { minLength: 1, maxLength: 300 }),
}
const weightsOf = fc.record({ kL: number(0.3, 3), kC: number(0.3, 3), kH: number(0.3, 3) })
const asEntries = (labs: readonly Lab[]): Entry[] => labs.map((lab, id) => ({ id, lab }))
/** Some are as old as others: then the lower id comes first. */
const ageOf = (id: number): number => (id * 7) % 5
const isOlder = (one: number, other: number): boolean =>
  ageOf(one) - ageOf(other) < 0 || (ageOf(one) === ageOf(other) && one < other)

describe.each(Object.entries(sets))('colours that are %s', (_, set) => {
  it('are found as a full scan finds them: same colours, same order', () => {
    fc.assert(
      fc.property(
        set,
        fc.option(anyLab, { nil: null }),
        weightsOf,
        fc.integer({ min: 1, max: 40 }),
        fc.constantFrom(1, 2, 3),
        fc.constantFrom(1, 4),
        fc.option(number(0.1, 40), { nil: undefined }),
        (labs, elsewhere, weights, count, nth, size, within) => {
          const entries = asEntries(labs)
          const index = new NearestIndex(entries)
          // from among them as well as from elsewhere
          for (const reference of [labs[0]!, elsewhere ?? labs.at(-1)!]) {
            const plain = { count }
            expect(index.nearest(reference, plain)).toEqual(fullScan(entries, reference, plain))
            const narrowed: Question = {
              count,
              weights,
              accepts: (id) => id % nth === 0,
              groupOf: (id) => Math.floor(id / size),
              within,
              isOlder,
            }
            expect(index.nearest(reference, narrowed)).toEqual(fullScan(entries, reference, narrowed))
          }
        },
      ),
      { numRuns: 60 },
    )
  })
})

describe('an index', () => {
  it('stays right while colours come and go', () => {
    fc.assert(
      fc.property(
        fc.array(anyLab, { minLength: 1, maxLength: 80 }),
        fc.array(fc.record({ lab: anyLab, goes: fc.nat(200) }), { maxLength: 80 }),
        anyLab,
        (first, changes, reference) => {
          let entries = asEntries(first)
          const index = new NearestIndex(entries)
          for (const [at, { lab, goes }] of changes.entries()) {
            const fresh = { id: first.length + at, lab }
            index.insert(fresh)
            entries.push(fresh)
            const gone = entries.find(({ id }) => id === goes)
            expect(index.remove(goes, gone?.lab ?? lab)).toBe(gone !== undefined)
            entries = entries.filter((entry) => entry !== gone)
          }
          expect(index.size).toBe(entries.length)
          expect(index.nearest(reference, { count: 10 })).toEqual(fullScan(entries, reference, { count: 10 }))
        },
      ),
      { numRuns: 100 },
    )
  })

  it('finds nothing in nothing, and refuses what is no colour', () => {
    const index = new NearestIndex([])
    expect(index.nearest({ l: 50, a: 0, b: 0 }, { count: 3 })).toEqual([])
    expect(() => index.nearest({ l: Number.NaN, a: 0, b: 0 }, { count: 3 })).toThrow(RangeError)
    expect(() => index.insert({ id: 1, lab: { l: 50, a: Number.POSITIVE_INFINITY, b: 0 } })).toThrow(RangeError)
    expect(() => index.nearest({ l: 50, a: 0, b: 0 }, { count: 0 })).toThrow(RangeError)
  })

  it('looks at everything for a reference beyond white or black', () => {
    const entries = asEntries([-30, 20, 95, 130].map((l) => ({ l, a: 3, b: 4 })))
    for (const l of [-60, -20, 115, 180]) {
      const reference = { l, a: 3, b: 4 }
      expect(new NearestIndex(entries).nearest(reference, { count: 4 })).toEqual(
        fullScan(entries, reference, { count: 4 }),
      )
    }
  })
})

describe('bounds of CIEDE2000', () => {
  it('lightness alone is never more than the whole, and grows with the distance', () => {
    fc.assert(
      fc.property(anyLab, anyLab, number(0, 60), number(0.3, 3), (one, other, further, kL) => {
        const bound = lightnessBound(one.l, other.l, kL)
        expect(bound).toBeLessThanOrEqual(differenceCiede2000(one, other, { ...unit, kL }) * (1 + 1e-9) + 1e-12)
        const beyond = other.l + Math.sign(other.l - one.l) * further
        expect(lightnessBound(one.l, beyond, kL)).toBeGreaterThanOrEqual(bound * (1 - 1e-12))
      }),
      { numRuns: 3000 },
    )
  })

  it('no colour outside the radius is as near, and within it none is nearer than the bound without angles', () => {
    fc.assert(
      fc.property(
        anyLab,
        number(0, Math.PI * 2),
        number(0.001, 60),
        number(0, 100),
        weightsOf,
        (reference, angle, distance, l, weights) => {
          const lab = { l, a: reference.a + distance * Math.cos(angle), b: reference.b + distance * Math.sin(angle) }
          const parts = differenceParts(reference, lab, weights)
          const flat = Math.max(0, parts.chroma ** 2 + parts.hue ** 2 + parts.both)
          const region = regionWithin(reference, Math.sqrt(flat), weights)
          expect(region.radius).toBeGreaterThanOrEqual(distance * (1 - 1e-9))
          const chroma = Math.hypot(reference.a, reference.b)
          const bound = squareAtLeast(reference, chroma, lab, region, weights)
          expect(bound).toBeLessThanOrEqual(parts.de00 ** 2 * (1 + 1e-9) + 1e-9)
          const soon = squareAtLeast(reference, chroma, lab, region, weights, 0)
          expect(soon).toBeLessThanOrEqual(bound * (1 + 1e-9) + 1e-9)
        },
      ),
      { numRuns: 20_000 },
    )
  })
})
