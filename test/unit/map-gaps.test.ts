import { differenceCiede2000 } from 'culori'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  Directions,
  leastApart,
  type MapGap,
  mostGaps,
  seekGaps,
} from '../../renderer/screens/rack/map/geometry/gaps.ts'
import { type MapSteps, type Slice, sliceRun } from '../../renderer/screens/rack/map/geometry/steps.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { NearestIndex } from '../../shared-core/match/nearest/nearest-index.ts'
import { stepsOf } from './map-steps.ts'

// CIEDE2000 of another hand. Its formula works in the mode lab65; figures are given as they are, whatever their white.
const theirs = differenceCiede2000()
const apart = (one: Lab, other: Lab) => theirs({ mode: 'lab65', ...one }, { mode: 'lab65', ...other })

function gapsOf(steps: MapSteps, slice: Slice): MapGap[] {
  const entries = Array.from({ length: steps.count }, (_, id) => ({ id, lab: labOf(steps, id) }))
  const search = seekGaps(steps, new NearestIndex(entries), slice)
  for (;;) {
    const next = search.next()
    if (next.done) return next.value
  }
}
/** Evenly spread; doubles of fast-check crowd around 0. */
const hundredths = (min: number, max: number) => fc.integer({ min: 100 * min, max: 100 * max }).map((n) => n / 100)

const labOf = (steps: MapSteps, row: number): Lab => ({ l: steps.l[row]!, a: steps.a[row]!, b: steps.b[row]! })

/** A field of steps 4 apart around a place, with a hole in its middle. */
function field(middle: Lab, hole: number, reach = 32): Lab[] {
  const labs: Lab[] = []
  for (let da = -reach; da <= reach; da += 4)
    for (let db = -reach; db <= reach; db += 4)
      if (Math.hypot(da, db) > hole) labs.push({ l: middle.l, a: middle.a + da, b: middle.b + db })
  return labs
}
const middle = { l: 50, a: 30, b: 20 }

describe('gaps of the map', () => {
  it('finds the hole in a field, at its middle', () => {
    const steps = stepsOf(field(middle, 18))
    const [gap, ...more] = gapsOf(steps, { middle: 50 })
    expect(more).toEqual([])
    expect(gap!.l).toBe(50)
    expect(Math.hypot(gap!.a - middle.a, gap!.b - middle.b)).toBeLessThan(7)
    const nearest = Math.min(...Array.from({ length: steps.count }, (_, row) => apart(labOf(steps, row), gap!)))
    expect(gap!.nearest).toBeCloseTo(nearest, 6)
  })

  it('no hole, no gap: neither in a whole field nor outside of it', () => {
    expect(gapsOf(stepsOf(field(middle, -1)), { middle: 50 })).toEqual([])
  })

  it('a step of another lightness that looks like it fills the hole', () => {
    const labs = field({ ...middle, l: 41 }, 18)
    expect(gapsOf(stepsOf(labs), { middle: 50 }).length).toBeGreaterThan(0)
    // in the next slice, where this one does not show them: yet no painter would miss a colour there
    const filled = [...field({ ...middle, l: 55 }, 18), ...field({ ...middle, l: 61 }, -1, 16)]
    expect(gapsOf(stepsOf(filled), { middle: 56 })).toEqual([])
  })

  it('a half-open bay is no gap: it lies beside what was sprayed, not between', () => {
    const bay = field(middle, 14).filter(({ a }) => a <= middle.a)
    expect(gapsOf(stepsOf(bay), { middle: 50 })).toEqual([])
  })

  it('near black nobody could tell', () => {
    expect(gapsOf(stepsOf(field({ l: 4, a: 0, b: 0 }, 18)), { middle: 4 })).toEqual([])
  })

  it('of all lightness: those of the five slices, each with its own', () => {
    const two = stepsOf([...field({ l: 30, a: 20, b: 20 }, 18), ...field({ l: 70, a: -20, b: 10 }, 18)])
    expect(
      gapsOf(two, { middle: null })
        .map(({ l }) => l)
        .toSorted((one, other) => one - other),
    ).toEqual([30, 70])
  })

  it('whatever hangs there, says only what is true', () => {
    const lab = fc.record({
      l: hundredths(35, 65),
      a: hundredths(-60, 60),
      b: hundredths(-60, 60),
    })
    let seen = 0
    fc.assert(
      fc.property(fc.noBias(fc.tuple(fc.array(lab, { minLength: 150, maxLength: 300 }), lab)), ([all, bare]) => {
        const labs = all.filter(({ a, b }) => Math.hypot(a - bare.a / 2, b - bare.b / 2) > 22)
        const steps = stepsOf(labs)
        const run = sliceRun(steps, { middle: 50 })
        const rows = Array.from({ length: run[1] - run[0] }, (_, i) => run[0] + i)
        const gaps = gapsOf(steps, { middle: 50 })
        seen += gaps.length
        expect(gaps.length).toBeLessThanOrEqual(mostGaps)
        for (const gap of gaps) {
          const nearest = Math.min(...labs.map((one) => apart(one, gap)))
          expect(nearest).toBeGreaterThanOrEqual(leastApart - 1e-6)
          expect(gap.nearest).toBeCloseTo(nearest, 6)
          const flat = (row: number) => Math.hypot(steps.a[row]! - gap.a, steps.b[row]! - gap.b)
          expect(gap.radius).toBeCloseTo(Math.min(...rows.map(flat)), 9)
          // between: whichever way one looks, something hangs within a right angle of it
          for (let turn = 0; turn < 2 * Math.PI; turn += 0.1) {
            const [x, y] = [Math.cos(turn), Math.sin(turn)]
            expect(rows.some((row) => (steps.a[row]! - gap.a) * x + (steps.b[row]! - gap.b) * y > 0)).toBe(true)
          }
          // the two that are named lie on opposite sides
          const [one, other] = gap.sides
          const dot =
            (steps.a[one]! - gap.a) * (steps.a[other]! - gap.a) + (steps.b[one]! - gap.b) * (steps.b[other]! - gap.b)
          expect(dot).toBeLessThan(0)
        }
        expect(gaps.map(({ nearest }) => nearest)).toEqual(
          gaps.map(({ nearest }) => nearest).toSorted((one, other) => other - one),
        )
      }),
      { numRuns: 8 },
    )
    expect(seen).toBeGreaterThan(4)
  })
})

describe('directions', () => {
  it('tell the widest way out as sorting them does, where it is wide', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -3.14, max: 3.14, noNaN: true }), { maxLength: 12 }), (angles) => {
        const round = new Directions()
        for (const angle of angles) round.add(Math.cos(angle), Math.sin(angle))
        const sorted = angles.toSorted((one, other) => one - other)
        const open =
          sorted.length === 0
            ? 2 * Math.PI
            : Math.max(
                sorted[0]! + 2 * Math.PI - sorted.at(-1)!,
                ...sorted.slice(1).map((angle, i) => angle - sorted[i]!),
              )
        // narrower than that it is only known to be narrow
        const least = Math.PI / 10
        expect(Math.max(round.widestOpen(), least)).toBeCloseTo(Math.max(open, least), 9)
      }),
    )
  })
})
