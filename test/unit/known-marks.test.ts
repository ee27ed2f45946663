import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  knownKeysOf,
  startedAt,
  tileKey,
  turnChart,
  withLab,
  withoutKnown,
} from '../../renderer/screens/tray/known-marks.ts'
import { faultIn, layoutOf, type Marks, noMarks } from '../../renderer/screens/tray/marks.ts'
import { handlesOf, hitAt, moveHandle, moveWhole } from '../../renderer/screens/tray/moving.ts'
import { suitingSetup } from '../../renderer/screens/tray/slip/setup/suiting-setup.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { Setup } from '../../shared-core/records/setup.ts'

const wide: Quad = [
  [100, 100],
  [400, 110],
  [395, 310],
  [105, 300],
]
const small: Quad = [
  [600, 100],
  [700, 100],
  [700, 250],
  [600, 250],
]
const marks: Marks = {
  ...noMarks,
  card: { quad: small, lab: { l: 50, a: 0, b: 0 } },
  tiles: [
    { quad: small.map(([x, y]) => [x, y + 200]) as Quad, lab: { l: 95, a: 0, b: 0 }, kind: 'white' },
    { quad: small.map(([x, y]) => [x, y + 400]) as Quad, lab: { l: 20, a: 0, b: 0 }, kind: 'black' },
  ],
  chart: { quad: wide, table: 'avg30' },
}
const photo = { width: 1000, height: 800 }

describe('the chart’s outline', () => {
  it('turned four times by a quarter is what it was; turned once, patch 1 is at the next corner clockwise', () => {
    const once = turnChart(marks)
    expect(once.chart?.quad).toEqual([wide[1], wide[2], wide[3], wide[0]])
    expect(turnChart(turnChart(turnChart(once)))).toEqual(marks)
  })
  it('starts at the first corner clicked, whichever it is', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 3 }), (first) => {
        const quad = startedAt(wide, wide[first]!)
        expect(quad[0]).toEqual(wide[first])
        expect(faultIn({ ...marks, chart: { quad, table: 'avg30' } })).toBeNull()
      }),
    )
  })
  it('dragged, has six patches along its long side', () => {
    expect(startedAt(wide, null)).toEqual(wide)
    expect(startedAt(small, null)).toEqual([small[1], small[2], small[3], small[0]])
  })
  it('seen in a mirror is a chart like any other: its colours say where it was marked wrongly', () => {
    const [a, b, c, d] = wide
    expect(faultIn({ ...noMarks, chart: { quad: [b, a, d, c], table: 'avg30' } })).toBeNull()
  })
})

describe('card, tiles and chart', () => {
  it('are walked in order and moved like any mark', () => {
    expect(knownKeysOf(marks)).toEqual(['card', 'tile 0', 'tile 1', 'chart'])
    const moved = moveWhole(marks, tileKey(1), [0, 5000], photo)
    expect(Math.max(...handlesOf(moved, tileKey(1)).map((p) => p[1]))).toBe(photo.height)
    expect(moved.tiles[0]).toBe(marks.tiles[0])
    expect(moveHandle(marks, 'chart', 2, [420, 330], photo).chart?.quad[2]).toEqual([420, 330])
    expect(hitAt(marks, null, [650, 400], 10)).toEqual({ what: 'inside', key: 'tile 0' })
  })
  it('have their own Lab, and one goes without the others', () => {
    expect(withLab(marks, 'tile 1', { l: 22 }).tiles.map(({ lab }) => lab.l)).toEqual([95, 22])
    expect(withoutKnown(marks, 'tile 0').tiles.map(({ kind }) => kind)).toEqual(['black'])
    expect(withoutKnown(marks, 'chart').chart).toBeNull()
  })
})

describe('scale', () => {
  it('is that of the card: 100 × 150 pixels of a card of 50 × 75 mm are half a millimetre each', () => {
    expect(layoutOf(marks, { width: 50, height: 75 }).mmPerPixel).toBeCloseTo(0.5, 12)
    // laid on its side, it is the same card
    expect(layoutOf(marks, { width: 75, height: 50 }).mmPerPixel).toBeCloseTo(0.5, 12)
  })
  it('stays what it was where the card’s size is not known, and is nothing where nothing was', () => {
    expect(layoutOf({ ...marks, mmPerPixel: 0.07 }).mmPerPixel).toBe(0.07)
    expect(layoutOf(marks).mmPerPixel).toBeNull()
  })
})

describe('the set-up to propose', () => {
  const setup = (id: string, camera: string | null, lightId: string | null) => ({ id, camera, lightId }) as Setup
  const of = (camera: string | null) => ({ exposure: { camera } }) as Photo
  const setups = [
    setup('sun', 'A', 'sun'),
    setup('any', 'A', null),
    setup('tubes', 'A', 'tubes'),
    setup('b', 'B', 'sun'),
  ]
  it('is one of the same camera, in the same light where that is named', () => {
    expect(suitingSetup(setups, of('A'), 'tubes')?.id).toBe('tubes')
    expect(suitingSetup(setups, of('A'), null)?.id).toBe('sun')
    expect(suitingSetup(setups, of('A'), 'shade')?.id).toBe('any')
    expect(suitingSetup(setups, of('B'), 'tubes')).toBeNull()
    expect(suitingSetup(setups, of(null), 'sun')).toBeNull()
  })
})
