/**
 * Order within doubt, grain, and why a match stands where it stands. That 1 in 4 of a normal error lies beyond 0.6745
 * standard deviations: Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table 26.1, P(0.67) = 0.7486;
 * the order itself is ours.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { coarsenessOf, compareTextures } from '../../shared-core/match/coarseness.ts'
import { chanceWords, orderByDoubt, type Placed, withReasons } from '../../shared-core/match/order.ts'
import type { Texture } from '../../shared-core/records/reading.ts'

const placed = (code: string, de00: number, bound90: number, more: Partial<Placed> = {}): Placed => ({
  panel: { code },
  coats: 3,
  de00,
  bound90,
  couldBeSame: de00 - bound90 <= 1,
  chanceSame: 0.08,
  unlike: [],
  unlikeness: 0,
  combined: null,
  coarseness: null,
  metamerism: null,
  ...more,
})
const grain = (alike: boolean) => ({
  words: alike ? 'grain as coarse as the reference’s' : 'coarser grain',
  differencePercent: alike ? 2 : 60,
  alike,
})
const codes = (list: readonly Placed[]) => list.map(({ panel }) => panel.code)

const any = fc
  .array(
    fc.record({
      de00: fc.double({ min: 0, max: 8, noNaN: true }),
      bound90: fc.double({ min: 0.1, max: 5, noNaN: true }),
      unlikeness: fc.constantFrom(0, 0, 2, 16, 32),
      coarseness: fc.constantFrom(null, grain(true), grain(false)),
    }),
    { maxLength: 40 },
  )
  .map((all) =>
    all
      .toSorted((a, b) => a.de00 - b.de00)
      .map((one, i) =>
        placed(`P-${i}`, one.de00, one.bound90, { ...one, unlike: one.unlikeness ? ['other light'] : [] }),
      ),
  )

describe('order within doubt', () => {
  it('is the same matches, none before one that is nearer beyond doubt', () => {
    fc.assert(
      fc.property(any, (found) => {
        const ordered = orderByDoubt(found)
        expect(codes(ordered).toSorted()).toEqual(codes(found).toSorted())
        ordered.forEach((one, i) => {
          for (const other of ordered.slice(i + 1)) {
            if (other.de00 >= one.de00) continue
            // both lie within the doubt of one that is as near as either: 0.6745 σ, a bound being 2.5003 σ
            const anchors = found.filter((a) => a.de00 <= other.de00)
            const ties = (a: Placed, b: Placed) =>
              b.de00 - a.de00 <= (0.6745 * Math.hypot(a.bound90, b.bound90)) / 2.5003
            expect(anchors.some((a) => ties(a, one) && ties(a, other))).toBe(true)
          }
        })
      }),
    )
  })

  it('keeps colour verdicts, and the line below the last that could be the same does not go down', () => {
    fc.assert(
      fc.property(any, (found) => {
        const ordered = orderByDoubt(found)
        for (const { why: _, ...one } of ordered) expect(found).toContainEqual(one)
        const line = (list: readonly Placed[]) => list.findLastIndex((m) => m.couldBeSame)
        expect(line(ordered)).toBeLessThanOrEqual(line(found))
      }),
    )
  })

  it('falls into the same runs however long the list is', () => {
    fc.assert(
      fc.property(any, fc.nat({ max: 40 }), (found, n) => {
        const [short, long] = [codes(orderByDoubt(found.slice(0, n))), codes(orderByDoubt(found))]
        // all but the last run of the shorter list stand as in the longer
        const anchor = withReasons(found.slice(0, n)).findLastIndex(({ why }) => !why[0]?.startsWith('as near'))
        expect(short.slice(0, Math.max(0, anchor))).toEqual(long.slice(0, Math.max(0, anchor)))
      }),
    )
  })

  it('puts like before unlike, the grain of the reference first, an unknown one next, only within the doubt', () => {
    const found = [
      placed('light', 0.5, 2, { unlike: ['other light'], unlikeness: 2 }),
      placed('coarse', 0.6, 2, { coarseness: grain(false) }),
      placed('unknown', 0.7, 2),
      placed('alike', 0.8, 2, { coarseness: grain(true) }),
      placed('far', 6, 2, { coarseness: grain(true) }),
    ]
    expect(codes(orderByDoubt(found))).toEqual(['alike', 'unknown', 'coarse', 'light', 'far'])
    expect(codes(withReasons(found))).toEqual(codes(found))
    // sure readings are in order by themselves
    const sure = found.map((one) => ({ ...one, bound90: 0.1 }))
    expect(codes(orderByDoubt(sure))).toEqual(codes(found))
  })

  it('does not pass ties on', () => {
    // each ties with its neighbour (0.4 apart, 0.57 is the limit), the third not with the first
    const found = [
      placed('a', 1, 1.5, { unlikeness: 2, unlike: ['other light'] }),
      placed('b', 1.4, 1.5, { unlikeness: 2, unlike: ['other light'] }),
      placed('c', 1.8, 1.5),
    ]
    expect(codes(orderByDoubt(found))).toEqual(['a', 'b', 'c'])
  })

  it('says why', () => {
    const combined = { lab: { l: 50, a: 0, b: 0 }, bound90: 1, count: 3, leftOut: 1, disagree: false }
    const found = [
      placed('P-1', 0.5, 2, { unlike: ['other light'], unlikeness: 2 }),
      placed('P-2', 0.7, 2, { combined, coarseness: grain(true) }),
      placed('P-2', 0.8, 2, { coats: 1, chanceSame: 0.002 }),
      placed('P-3', 7, 2),
    ]
    expect(orderByDoubt(found).map(({ why }) => why)).toEqual([
      [
        'as near as P-1 within the doubt',
        'stands before P-1 because it was read more like the reference',
        'the mean of 3 readings, 1 left out',
        'grain as coarse as the reference’s',
        '8 % likely the same',
      ],
      [
        'as near as P-1 within the doubt',
        'stands before P-1 because it was read more like the reference',
        'less than 1 % likely the same',
      ],
      [
        'nearest in colour',
        'stands after P-2, which was read more like the reference',
        'not read alike: other light',
        '8 % likely the same',
      ],
      ['farther than P-1', 'surely different'],
    ])
    expect(chanceWords(0.9999)).toBe('more than 99 % likely the same')
  })
})

const texture = (coarsenessPercent: number, grainMm: number | null = null): Texture => ({
  coarsenessPercent,
  grainMm,
  glintsPerCm2: null,
  glintContrast: 0,
})

describe('grain against the reference’s', () => {
  it.each([
    [8, 8.5, 'grain as coarse as the reference’s'],
    [8, 14, 'coarser grain'],
    [14, 8, 'finer grain'],
    [0.1, 0.4, 'smooth, as the reference is'],
    [0.1, 9, 'grain where the reference is smooth'],
    [9, 0.1, 'smooth where the reference has grain'],
  ])('of %d %% and %d %%', (ours, theirs, words) => {
    const found = compareTextures(texture(ours), texture(theirs))
    expect(found.words).toBe(words)
    expect(found.differencePercent).toBeCloseTo((100 * (theirs - ours)) / ((theirs + ours) / 2), 9)
  })

  it('tells its size where the scale of both photos is known', () => {
    expect(compareTextures(texture(8, 0.2), texture(8, 0.4)).words).toBe('larger grain')
    expect(compareTextures(texture(8, 0.4), texture(14, 0.2)).words).toBe('coarser, smaller grain')
    expect(compareTextures(texture(8, 0.2), texture(8, 0.22)).alike).toBe(true)
    expect(compareTextures(texture(8, 0.2), texture(8)).alike).toBe(true)
  })

  it('turns about when the two change places', () => {
    const percent = fc.double({ min: 0, max: 60, noNaN: true })
    const swapped: Record<string, string> = { coarser: 'finer', finer: 'coarser' }
    fc.assert(
      fc.property(percent, percent, (a, b) => {
        const [there, back] = [compareTextures(texture(a), texture(b)), compareTextures(texture(b), texture(a))]
        expect(back.alike).toBe(there.alike)
        expect(back.differencePercent).toBeCloseTo(-there.differencePercent, 9)
        const word = there.words.split(' ')[0] ?? ''
        expect(swapped[back.words.split(' ')[0] ?? '']).toBe(word in swapped ? word : undefined)
      }),
    )
  })

  it('is compared in one view and light only', () => {
    const ours = { texture: texture(8), view: 'face', lightId: 'sun' } as const
    const theirs = { texture: texture(8), view: 'face', lightId: 'sun' } as const
    expect(coarsenessOf(ours, [theirs])?.alike).toBe(true)
    expect(coarsenessOf(ours, [{ ...theirs, lightId: null }])?.alike).toBe(true)
    expect(coarsenessOf(ours, [{ ...theirs, lightId: 'booth' }])).toBeNull()
    expect(coarsenessOf(ours, [{ ...theirs, view: 'flop' }])).toBeNull()
    expect(coarsenessOf(ours, [{ ...theirs, texture: null }])).toBeNull()
    expect(coarsenessOf({ ...ours, texture: null }, [theirs])).toBeNull()
    // of several the one in the middle
    const many = [2, 8, 40].map((percent) => ({ ...theirs, texture: texture(percent) }))
    expect(coarsenessOf(ours, many)?.differencePercent).toBe(0)
  })
})
