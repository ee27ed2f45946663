/**
 * Ranking: dE00 against culori, order against a plain sort, bounds against figures worked by hand.
 * D65 → D50: the white of ASTM E308-01 and Bradford's matrix as in ICC.1:2010 annex E, through colorjs.io.
 */
import Color from 'colorjs.io'
import { differenceCiede2000 as culoriDifference } from 'culori'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { combineReadings, likeReadings } from '../../shared-core/capture/combine.ts'
import { type Comparable, compareReadings, differenceBound, toD50 } from '../../shared-core/match/compare.ts'
import { type Candidate, rankMatches } from '../../shared-core/match/rank.ts'
import { Illuminant, Observer, Stage, View } from '../../shared-core/records/colour.ts'
import type { BoundPart } from '../../shared-core/records/reading.ts'

const plain: Comparable = {
  lab: { l: 50, a: 20, b: 10 },
  bound90: 3,
  illuminant: 'D50',
  observer: '2',
  geometry: 'photo',
  level: 'card',
  view: 'face',
  stage: 'cleared',
  lightId: 'booth',
  photoId: 'photo-1',
}
const like = (change: Partial<Comparable>): Comparable => ({ ...plain, photoId: 'photo-2', ...change })

const culori = culoriDifference()
const asCulori = (c: { l: number; a: number; b: number }) => ({ mode: 'lab65' as const, ...c })
const lab = fc.record({
  l: fc.double({ min: 0, max: 110, noNaN: true }),
  a: fc.double({ min: -90, max: 90, noNaN: true }),
  b: fc.double({ min: -90, max: 90, noNaN: true }),
})
const reading = fc.record({
  id: fc.uuid(),
  lab,
  bound90: fc.double({ min: 0.1, max: 12, noNaN: true }),
  illuminant: fc.constantFrom(...Illuminant.options),
  observer: fc.constantFrom(...Observer.options),
  geometry: fc.constantFrom('photo' as const, 'd:8-included' as const),
  level: fc.constantFrom('card' as const, 'typed' as const),
  view: fc.constantFrom(...View.options),
  stage: fc.constantFrom(...Stage.options),
  lightId: fc.constantFrom('booth', 'sun', null),
  photoId: fc.constantFrom('photo-1', 'photo-2', null),
})
const candidate = fc.record({
  stepId: fc.constantFrom('s1', 's2', 's3', 's4', 's5', 's6', 's7'),
  panelCode: fc.constantFrom('P-0001', 'P-0002', 'P-0003'),
  panelCreatedAt: fc.constantFrom('2024-05-01T08:00:00Z', '2025-01-01T08:00:00Z'),
  reading,
})
const of = (stepId: string, change: Partial<Comparable>, panel: Partial<Candidate> = {}): Candidate => ({
  stepId,
  panelCode: 'P-0001',
  panelCreatedAt: '2025-01-01T08:00:00Z',
  reading: { id: `r-${stepId}`, ...like(change) },
  ...panel,
})
const options = { sameLimit: 1, count: 500 }

/** Written out here once more: which of two mismatches is the heavier, the heaviest thing first. */
function mismatches(a: Comparable, b: Comparable): boolean[] {
  const clear = (r: Comparable) => r.stage === 'cleared' || r.stage === 'cured'
  const bothClear = clear(a) && clear(b)
  const isSphere = (r: Comparable) => r.geometry.startsWith('d:8')
  return [
    a.view !== b.view,
    a.stage !== b.stage && !bothClear,
    a.geometry !== b.geometry && (isSphere(a) || isSphere(b)),
    a.illuminant !== b.illuminant || a.observer !== b.observer,
    a.lightId !== b.lightId && a.lightId !== null && b.lightId !== null,
    a.stage !== b.stage && bothClear,
  ]
}
/** Below 0: the first is more like the reference. */
function firstHeavier(one: readonly boolean[], other: readonly boolean[]): number {
  const at = one.findIndex((is, i) => is !== other[i])
  return at < 0 ? 0 : one[at] ? 1 : -1
}

describe('comparing two readings', () => {
  it('bounds the difference by hypot of both bounds: 3 and 4 make 5', () => {
    const found = compareReadings(plain, like({ bound90: 4, lab: { l: 55, a: 22, b: 12 } }))
    expect(found.bound90).toBeCloseTo(5, 12)
    expect(found.unlike).toEqual([])
    expect(found.de00).toBeCloseTo(culori({ mode: 'lab65', ...plain.lab }, { mode: 'lab65', l: 55, a: 22, b: 12 }), 9)
  })

  it('bounds it closer in one photo, the closer the nearer the colours are, and never wider', () => {
    const at = (l: number) => {
      const change = { bound90: 3, lab: { l, a: 20, b: 10 } }
      return [
        compareReadings(plain, like({ ...change, photoId: 'photo-1' })),
        compareReadings(plain, like(change)),
      ] as const
    }
    let before = 0
    for (const l of [50, 52, 58, 65, 75, 95]) {
      const [together, apart] = at(l)
      expect(together.de00).toBe(apart.de00)
      expect(together.bound90).toBeLessThanOrEqual(apart.bound90)
      expect(together.bound90).toBeGreaterThanOrEqual(before)
      before = together.bound90
    }
    // neither says what it shares: a fifth of each is its own
    expect(at(50)[0].bound90).toBeCloseTo(0.2 * Math.hypot(3, 3), 12)
    expect(at(95)[0].bound90).toBeCloseTo(Math.hypot(3, 3), 12)
    // two readings without a photo do not share one
    const typed = like({ photoId: null })
    expect(compareReadings(typed, typed).bound90).toBeCloseTo(Math.hypot(3, 3), 12)
  })

  // own 1 and 1.2, photo 3 and 3, set-up 2 and 2, worked by hand
  const first: Comparable = { ...plain, setupId: 'set', bound90: Math.sqrt(14), sharedPhoto: 3, sharedSetup: 2 }
  const second: Comparable = { ...first, bound90: Math.sqrt(14.44) }

  it('lets what photo or set-up share cancel, own errors add as squares', () => {
    const own = Math.hypot(1, 1.2)
    expect(differenceBound(first, second, 0)).toBeCloseTo(own, 12)
    // at 10 dE00 half of hypot of the shared parts is left
    const half = 0.5 * Math.hypot(3, 3, 2, 2)
    expect(differenceBound(first, second, 10)).toBeCloseTo(Math.hypot(own, half), 12)
    // another photo of the set-up: only its part cancels
    const other = { ...second, photoId: 'photo-9' }
    expect(differenceBound(first, other, 0)).toBeCloseTo(Math.hypot(own, 3, 3), 12)
    expect(differenceBound(first, other, 10)).toBeCloseTo(Math.hypot(own, 3, 3, 0.5 * Math.hypot(2, 2)), 12)
    const strange = { ...other, setupId: 'other set' }
    expect(differenceBound(first, strange, 0)).toBeCloseTo(Math.sqrt(14 + 14.44), 12)
    // what one has more of the same error than the other does not cancel
    expect(differenceBound(first, { ...first, bound90: Math.sqrt(21), sharedPhoto: 4 }, 0)).toBeCloseTo(
      Math.hypot(1, 1, 1),
      12,
    )
  })

  it('finds the same in parts as in numbers, and reads older parts by their cause', () => {
    const part = (cause: string, de00: number): BoundPart => ({ cause, de00, words: cause })
    const numbers = { sharedPhoto: null, sharedSetup: null }
    const parts: BoundPart[] = [
      { ...part('tone', 3), shared: 'photo' },
      { ...part('chart', 2), shared: 'set-up' },
      part('grain', 1),
    ]
    const said: Comparable = { ...first, ...numbers, parts }
    for (const de00 of [0, 3, 10, 30])
      expect(differenceBound(said, second, de00)).toBeCloseTo(differenceBound(first, second, de00), 12)
    const older: Comparable = {
      ...first,
      ...numbers,
      setupId: null,
      bound90: Math.hypot(3, 1.5, 0.5),
      parts: [part('camera', 3), part('card', 1.5), part('glare', 0.5)],
    }
    expect(differenceBound(older, older, 0)).toBeCloseTo(Math.hypot(0.5, 0.5), 12)
  })

  it('compares a combined colour by what each of its readings shares with the other', () => {
    // three photos, one of them that of the other reading; own 0: a third of the error is common
    const alone = { ...plain, bound90: 3, sharedPhoto: 3, sharedSetup: 0 }
    const mean = ['photo-1', 'photo-2', 'photo-3'].map((photoId) => ({ weight: 1 / 3, of: { ...alone, photoId } }))
    const combined = { ...alone, photoId: 'photo-1', bound90: Math.sqrt(3), mean }
    // var(e1 − (e1 + e2 + e3) / 3) with var(e) = 9: 4 + 1 + 1
    expect(differenceBound(combined, alone, 0)).toBeCloseTo(Math.sqrt(6), 12)
    expect(differenceBound(alone, combined, 0)).toBeCloseTo(Math.sqrt(6), 12)
    expect(differenceBound(alone, combined, 20)).toBeCloseTo(Math.sqrt(12), 12)
  })

  it('widens it by 0.8 for D65, 2° and by 2.5 for D65, 10°, more for other lights, and says so', () => {
    const exact = { ...plain, bound90: 1e-9 }
    const widened = (illuminant: Illuminant, observer: Observer) =>
      compareReadings(exact, like({ bound90: 1e-9, illuminant, observer }))
    expect(widened('D50', '2').bound90).toBeCloseTo(0, 6)
    expect(widened('D65', '2').bound90).toBeCloseTo(0.8, 6)
    expect(widened('D65', '10').bound90).toBeCloseTo(2.5, 6)
    for (const illuminant of ['A', 'C', 'F2', 'F11', 'LED-B3'] as const) {
      expect(widened(illuminant, '2').bound90).toBeGreaterThan(0.8)
      expect(widened(illuminant, '10').bound90).toBeGreaterThan(2.5)
    }
    expect(widened('D65', '10').unlike).toEqual(['D65, 10° against D50, 2°'])
    // two readings of one standard lose nothing, whichever it is
    const tube = like({ illuminant: 'F11', bound90: 3 })
    expect(compareReadings(tube, { ...tube, bound90: 4, photoId: null })).toMatchObject({ unlike: [] })
    expect(compareReadings(tube, { ...tube, bound90: 4, photoId: null }).bound90).toBeCloseTo(5, 12)
  })

  it('brings D65, 2° to D50 as colorjs.io does, and leaves 10° as it is', () => {
    fc.assert(
      fc.property(lab, (given) => {
        const [l, a, b] = new Color('lab-d65', [given.l, given.a, given.b]).to('lab').coords as [number, number, number]
        const found = toD50({ lab: given, illuminant: 'D65', observer: '2' })
        // whites differ in the fifth place between the standards
        expect(culori({ mode: 'lab65', ...found }, { mode: 'lab65', l, a, b })).toBeLessThan(0.05)
        expect(toD50({ lab: given, illuminant: 'D65', observer: '10' })).toEqual(given)
        expect(toD50({ lab: given, illuminant: 'D50', observer: '2' })).toEqual(given)
      }),
    )
  })

  it('says what is not alike, the candidate first', () => {
    const words = (change: Partial<Comparable>) => compareReadings(plain, like(change)).unlike
    expect(words({ view: 'flop' })).toEqual(['other view: flop against face'])
    expect(words({ lightId: 'sun' })).toEqual(['other light'])
    expect(words({ lightId: null })).toEqual([])
    expect(words({ stage: 'dry' })).toEqual(['uncleared against cleared'])
    expect(words({ stage: 'cured' })).toEqual(['cured against cleared'])
    expect(compareReadings(like({ stage: 'wet' }), plain).unlike).toEqual(['cleared against uncleared'])
    expect(compareReadings(like({ stage: 'wet' }), like({ stage: 'dry' })).unlike).toEqual(['dry against wet'])
    expect(words({ geometry: '45:0' })).toEqual([])
    expect(words({ geometry: 'd:8-included' })).toEqual(['other geometry: d:8-included against photo'])
  })

  it('is as far one way as the other', () => {
    fc.assert(
      fc.property(reading, reading, (a, b) => {
        const there = compareReadings(a, b)
        const back = compareReadings(b, a)
        expect(back.de00).toBe(there.de00)
        expect(back.bound90).toBeCloseTo(there.bound90, 9)
        expect(back.unlike).toHaveLength(there.unlike.length)
      }),
    )
  })
})

describe('ranking', () => {
  it('is a plain sort by dE00, each step once, whatever the order of the input', () => {
    fc.assert(
      fc.property(reading, fc.array(candidate, { maxLength: 40 }), fc.infiniteStream(fc.nat()), (to, all, shuffle) => {
        const found = rankMatches(to, all, options)
        const mixed = all.map((c) => [shuffle.next().value as number, c] as const).toSorted((a, b) => a[0] - b[0])
        const again = rankMatches(
          to,
          mixed.map(([, c]) => c),
          options,
        )
        expect(again).toEqual(found)
        expect(found.map((m) => m.candidate.stepId).toSorted()).toEqual(
          [...new Set(all.map((c) => c.stepId))].toSorted(),
        )
        expect(found.map((m) => m.de00)).toEqual(found.map((m) => m.de00).toSorted((a, b) => a - b))
        for (const match of found) {
          expect(match.couldBeSame).toBe(match.de00 - match.bound90 <= options.sameLimit)
          // nothing of the same step is both as alike and nearer, several readings alike being one colour
          const ofStep = all.filter((c) => c.stepId === match.candidate.stepId)
          // (a reading that names no light counts with those of its group that do)
          for (const group of likeReadings(ofStep.map((c) => c.reading))) {
            const lightId = group.find((r) => r.lightId !== null)?.lightId ?? null
            const { lab: mean } = combineReadings(group)
            const seen = { ...group[0]!, lab: mean, lightId }
            const ofGroup = mismatches(to, seen)
            const chosen = likeReadings(ofStep.map((c) => c.reading)).find((some) =>
              some.includes(match.candidate.reading),
            )
            const ofMatch = mismatches(to, {
              ...match.candidate.reading,
              lightId: chosen?.find((r) => r.lightId !== null)?.lightId ?? null,
            })
            expect(match.unlike).toHaveLength(ofMatch.filter(Boolean).length)
            const heavier = firstHeavier(ofGroup, ofMatch)
            expect(heavier).toBeGreaterThanOrEqual(0)
            expect(heavier > 0 || compareReadings(to, seen).de00 >= match.de00 - 1e-9).toBe(true)
            expect(match.unlikeness === 0).toBe(match.unlike.length === 0)
          }
          const shown = match.combined ?? match.candidate.reading
          const alone = compareReadings(to, { ...match.candidate.reading, lab: shown.lab })
          expect(match.de00).toBe(alone.de00)
        }
      }),
      { numRuns: 300 },
    )
  })

  it('takes the like readings of a step as one colour, not the one that happens to lie nearest', () => {
    const readings = [50.2, 53, 54.8].map((l, i) => {
      const one = of('often', { lab: { l, a: 20, b: 10 }, photoId: `photo-${i + 5}`, setupId: `set-${i}` })
      return { ...one, reading: { ...one.reading, id: `r${i}` } }
    })
    const found = rankMatches(plain, [...readings, of('once', { lab: { l: 51.5, a: 20, b: 10 } })], options)
    expect(found.map((m) => m.candidate.stepId)).toEqual(['once', 'often'])
    expect(found[0]?.combined).toBeNull()
    expect(found[1]?.combined).toMatchObject({ count: 3, leftOut: 0, disagree: false })
    expect(found[1]?.combined?.lab.l).toBeCloseTo((50.2 + 53 + 54.8) / 3, 6)
    // 3 / √3, and the reference's own 3
    expect(found[1]?.combined?.bound90).toBeCloseTo(Math.sqrt(3), 6)
    expect(found[1]?.bound90).toBeCloseTo(Math.hypot(3, Math.sqrt(3)), 6)
  })

  it('gives equals by the older panel, then by code', () => {
    const same = { lab: { l: 52, a: 20, b: 10 } }
    const found = rankMatches(
      plain,
      [
        of('young', same, { panelCode: 'P-0001', panelCreatedAt: '2025-06-01T08:00:00Z' }),
        of('old-b', same, { panelCode: 'P-0009', panelCreatedAt: '2024-06-01T08:00:00Z' }),
        of('old-a', same, { panelCode: 'P-0003', panelCreatedAt: '2024-06-01T08:00:00Z' }),
      ],
      options,
    )
    expect(found.map((m) => m.candidate.stepId)).toEqual(['old-a', 'old-b', 'young'])
  })

  it('shows a step by the reading most alike, not by one in another view that lies nearer', () => {
    const [only] = rankMatches(
      plain,
      [of('s', { view: 'flop', lab: plain.lab }), of('s', { lab: { l: 56, a: 20, b: 10 } })],
      options,
    )
    expect(only?.unlike).toEqual([])
    expect(only?.words).toBe('Much lighter')
  })

  it('takes another light before another view, and the clear before the days it hardened', () => {
    const far = { l: 58, a: 20, b: 10 }
    const shown = (...changes: Partial<Comparable>[]) => {
      const all = changes.map((change, i) => {
        const one = of('s', change)
        return { ...one, reading: { ...one.reading, id: `r${i}` } }
      })
      return rankMatches(plain, all, options)[0]
    }
    expect(shown({ view: 'flop' }, { lightId: 'sun', lab: far })?.unlike).toEqual(['other light'])
    expect(shown({ stage: 'dry' }, { lightId: 'sun', stage: 'cured', lab: far })?.unlike).toEqual([
      'cured against cleared',
      'other light',
    ])
    expect(shown({ stage: 'wet' }, { geometry: 'd:8-included', lab: far })?.candidate.reading.id).toBe('r1')
    // alike in the same things: the nearer
    expect(shown({ lightId: 'sun', lab: far }, { lightId: 'shade' })?.candidate.reading.id).toBe('r1')
  })

  it('keeps what is unlike in the list and says so, unless only like is asked for', () => {
    const all = [of('flop', { view: 'flop' }), of('cured', { stage: 'cured', lab: { l: 53, a: 20, b: 10 } })]
    expect(
      rankMatches(plain, all, options).map(({ candidate: { stepId }, unlike }) => [stepId, unlike.length]),
    ).toEqual([
      ['flop', 1],
      ['cured', 1],
    ])
    const only = rankMatches(plain, all, { ...options, likeOnly: true })
    expect(only.map(({ candidate: { stepId } }) => stepId)).toEqual(['cured'])
  })

  it('weighs the difference as asked, bound and chance with it, and stops where it is told', () => {
    const lighter = of('lighter', { lab: { l: 54, a: 20, b: 10 } })
    const redder = of('redder', { lab: { l: 50, a: 23.5, b: 10 } })
    const order = (weights: { kL: number; kC: number; kH: number }, more: object = {}) =>
      rankMatches(plain, [lighter, redder], { ...options, weights, ...more })
    expect(order({ kL: 1, kC: 1, kH: 1 })).toEqual(rankMatches(plain, [lighter, redder], options))
    expect(order({ kL: 1, kC: 1, kH: 1 }).map((m) => m.candidate.stepId)).toEqual(['redder', 'lighter'])
    const light = order({ kL: 2, kC: 1, kH: 1 })
    expect(light.map((m) => m.candidate.stepId)).toEqual(['lighter', 'redder'])
    expect(light[0]?.de00).toBeCloseTo(culoriDifference(2, 1, 1)(asCulori(plain.lab), asCulori(lighter.reading.lab)), 9)
    // all differences halved are half of the bound, and the chance within half of the limit is the same
    const [half, whole] = [
      order({ kL: 2, kC: 2, kH: 2 }, { sameLimit: 0.5 }),
      rankMatches(plain, [lighter, redder], options),
    ]
    half.forEach((match, i) => {
      expect(match.de00).toBeCloseTo(whole[i]!.de00 / 2, 9)
      expect(match.bound90).toBeCloseTo(whole[i]!.bound90 / 2, 9)
      expect(match.chanceSame).toBeCloseTo(whole[i]!.chanceSame, 9)
      expect(match.couldBeSame).toBe(whole[i]!.couldBeSame)
    })
    expect(order({ kL: 1, kC: 1, kH: 1 }, { within: light[1]!.de00 })).toHaveLength(1)
  })

  it('says the difference as the candidate seen against the reference, and stops at the count', () => {
    const found = rankMatches(
      plain,
      [of('far', { lab: { l: 30, a: 20, b: 10 } }), of('near', { lab: { l: 48.5, a: 20, b: 10 } })],
      { sameLimit: 1, count: 1 },
    )
    expect(found).toHaveLength(1)
    expect(found[0]).toMatchObject({ words: 'A little darker', couldBeSame: true })
    expect(found[0]?.candidate.stepId).toBe('near')
  })
})
