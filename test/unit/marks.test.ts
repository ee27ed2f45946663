import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fitView, panBy, toPhoto, toScreen, zoomAt } from '../../renderer/screens/tray/desk/zoom.ts'
import {
  areasOf,
  type BandsMark,
  bandsOf,
  faultIn,
  layoutOf,
  type Mark,
  type Marks,
  marksOf,
  noMarks,
  splitEvenly,
} from '../../renderer/screens/tray/marks.ts'
import {
  bandAt,
  cutAt,
  handlesOf,
  hitAt,
  inOrder,
  moveCut,
  moveHandle,
  moveWhole,
} from '../../renderer/screens/tray/moving.ts'
import { fitToSteps } from '../../renderer/screens/tray/step-marks.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'

const photo = { width: 1200, height: 900 }
const leaning: Quad = [
  [300, 100],
  [700, 160],
  [760, 820],
  [180, 700],
]
const bands = (quad: Quad, count: number, run: BandsMark['run'] = 'down'): BandsMark =>
  splitEvenly({ kind: 'bands', quad, run, cuts: [], stepIds: [null] }, count)
const withOne = (mark: BandsMark): Marks => ({ ...noMarks, list: [mark] })

/** A convex quadrilateral: a corner in each quarter of the photo. */
const anyQuad: fc.Arbitrary<Quad> = fc
  .tuple(...[0, 1, 2, 3, 4, 5, 6, 7].map(() => fc.double({ min: 0, max: 250, noNaN: true })))
  .map(
    ([a, b, c, d, e, f, g, h]): Quad => [
      [a! + 50, b! + 50],
      [c! + 850, d! + 50],
      [e! + 850, f! + 600],
      [g! + 50, h! + 600],
    ],
  )

const length = (a: Point, b: Point) => Math.hypot(a[0] - b[0], a[1] - b[1])
const crossRatio = (a: Point, b: Point, c: Point, d: Point) =>
  (length(a, c) * length(b, d)) / (length(b, c) * length(a, d))

describe('bands of a panel', () => {
  it('keep the cross-ratio of equal steps in any perspective', () => {
    // The cross-ratio of four points on a line is the one invariant of a projective map (R. Hartley and A. Zisserman,
    // Multiple View Geometry in Computer Vision, 2nd ed. 2004, section 2.5). For 0, 1, 2, 3 it is 2·2 / (1·3) = 4/3.
    fc.assert(
      fc.property(anyQuad, fc.constantFrom<BandsMark['run']>('down', 'right'), (quad, run) => {
        const cut = bandsOf(bands(quad, 3, run))
        const edge = run === 'down' ? [cut[0]![0], cut[1]![0], cut[2]![0], cut[2]![3]] : cut.map((q) => q[0])
        if (run === 'right') edge.push(cut[2]![1])
        expect(crossRatio(...(edge as [Point, Point, Point, Point]))).toBeCloseTo(4 / 3, 6)
      }),
    )
  })

  it('fill the outline without a gap', () => {
    const [first, second, third] = bandsOf(bands(leaning, 3))
    expect(first![2]).toEqual(second![1])
    expect(second![3]).toEqual(third![0])
    for (const [is, was] of [
      [first![0], leaning[0]],
      [first![1], leaning[1]],
      [third![2], leaning[2]],
      [third![3], leaning[3]],
    ] as [Point, Point][])
      expect(length(is, was)).toBeLessThan(1e-6)
  })

  it('come back from the layout as the same outline with the same cuts', () => {
    const cuts = fc.uniqueArray(fc.integer({ min: 1, max: 19 }), { minLength: 0, maxLength: 6 })
    fc.assert(
      fc.property(anyQuad, cuts, fc.constantFrom<BandsMark['run']>('down', 'right'), (quad, at, run) => {
        const sorted = at.toSorted((a, b) => a - b).map((n) => n / 20)
        const mark: BandsMark = {
          kind: 'bands',
          quad,
          run,
          cuts: sorted,
          stepIds: [...sorted, 1].map((_, i) => `s${i}`),
        }
        const back = marksOf(layoutOf(withOne(mark))).list
        expect(back).toHaveLength(1)
        const [only] = back as [BandsMark]
        expect(only.stepIds).toEqual(mark.stepIds)
        // one band runs neither way: only a panel that is cut says how
        expect(sorted.length > 0 ? [run] : ['down', 'right']).toContain(only.run)
        for (const [i, cut] of sorted.entries()) expect(only.cuts[i]).toBeCloseTo(cut, 6)
        for (const [i, corner] of quad.entries()) expect(length(only.quad[i]!, corner)).toBeLessThan(1e-4)
      }),
    )
  })

  it('stay apart when two areas merely lie near each other', () => {
    const upper: Quad = [
      [100, 100],
      [300, 100],
      [300, 200],
      [100, 200],
    ]
    const lower: Quad = [
      [100, 220],
      [300, 220],
      [300, 300],
      [100, 300],
    ]
    const bent: Quad = [
      [100, 200],
      [300, 200],
      [420, 300],
      [220, 300],
    ]
    const layout = (...quads: Quad[]) => ({
      areas: quads.map((quad) => ({ stepId: null, shape: { kind: 'quad' as const, quad } })),
      card: null,
    })
    expect(marksOf(layout(upper, lower)).list).toHaveLength(2)
    // an edge in common, but no straight side through both: no flat panel has two such bands
    expect(marksOf(layout(upper, bent)).list).toHaveLength(2)
  })

  it('keep round areas, fades and what is known as they are', () => {
    const marks: Marks = {
      list: [
        { kind: 'round', centre: [50, 60], radius: 12, stepId: 'a' },
        { kind: 'fade', quad: leaning, stepId: null },
      ],
      card: { quad: leaning, lab: { l: 50, a: 0, b: 0 } },
      tiles: [{ quad: leaning, lab: { l: 95, a: 0, b: 1 }, kind: 'white' }],
      chart: { quad: leaning, table: 'avg30' },
      mmPerPixel: 0.08,
    }
    expect(marksOf(layoutOf(marks))).toEqual(marks)
  })
})

describe('steps', () => {
  const steps = [{ id: 'bare' }, { id: 'one' }, { id: 'two' }]
  it('cut a single outline and name its bands from the top', () => {
    const [mark] = fitToSteps(withOne(bands(leaning, 1)), steps).list as [BandsMark]
    expect(mark.cuts).toEqual([1 / 3, 2 / 3])
    expect(mark.stepIds).toEqual(['bare', 'one', 'two'])
  })
  it('leave what was named by hand, and forget another panel’s names', () => {
    const named: BandsMark = { ...bands(leaning, 2), stepIds: ['two', 'elsewhere'] }
    const [mark] = fitToSteps(withOne(named), steps).list as [BandsMark]
    expect(mark.stepIds).toEqual(['two', null])
    expect(mark.cuts).toEqual([0.5])
  })
  it('name nothing when areas and steps do not agree in number', () => {
    const round: Mark = { kind: 'round', centre: [9, 9], radius: 3, stepId: null }
    const marks = fitToSteps({ ...noMarks, list: [bands(leaning, 1), round] }, steps)
    expect(areasOf(marks).map(({ area }) => area.stepId)).toEqual([null, null])
  })
  it('give the only step there is to every area', () => {
    const fade = { kind: 'fade', quad: leaning, stepId: null } as const
    const marks = fitToSteps({ ...noMarks, list: [bands(leaning, 1), fade] }, [{ id: 'only' }])
    expect(areasOf(marks).map(({ area }) => area.stepId)).toEqual(['only', 'only'])
  })
})

describe('moving', () => {
  it('never leaves the photo, however far one pulls', () => {
    const far = fc.tuple(fc.integer({ min: -5000, max: 5000 }), fc.integer({ min: -5000, max: 5000 }))
    fc.assert(
      fc.property(anyQuad, far, fc.integer({ min: 0, max: 3 }), (quad, to, corner) => {
        const marks = withOne(bands(quad, 2))
        for (const moved of [moveHandle(marks, 0, corner, to, photo), moveWhole(marks, 0, to, photo)])
          for (const [x, y] of handlesOf(moved, 0)) {
            expect(x).toBeGreaterThanOrEqual(-1e-9)
            expect(x).toBeLessThanOrEqual(photo.width + 1e-9)
            expect(y).toBeGreaterThanOrEqual(-1e-9)
            expect(y).toBeLessThanOrEqual(photo.height + 1e-9)
          }
      }),
    )
  })
  it('moves one corner and nothing else', () => {
    const moved = moveHandle(withOne(bands(leaning, 3)), 0, 2, [800, 850], photo)
    expect(handlesOf(moved, 0)).toEqual([leaning[0], leaning[1], [800, 850], leaning[3]])
  })
  it('keeps a cut between its neighbours', () => {
    const marks = withOne(bands(leaning, 4))
    const [mark] = moveCut(marks, 0, 1, -3).list as [BandsMark]
    expect(mark.cuts[1]).toBeGreaterThan(mark.cuts[0]!)
    const [other] = moveCut(marks, 0, 1, 3).list as [BandsMark]
    expect(other.cuts[1]).toBeLessThan(other.cuts[2]!)
  })
  it('puts a cut under the pointer', () => {
    const marks = withOne(bands(leaning, 2))
    const [, second] = bandsOf(marks.list[0] as BandsMark)
    const along: Point = [(second![0][0] + second![1][0]) / 2, (second![0][1] + second![1][1]) / 2]
    expect(cutAt(marks, 0, along)).toBeCloseTo(0.5, 9)
  })
  it('a round area grows by its edge and never vanishes', () => {
    const marks: Marks = { ...noMarks, list: [{ kind: 'round', centre: [400, 400], radius: 20, stepId: null }] }
    expect(moveHandle(marks, 0, 1, [400, 430], photo).list[0]).toMatchObject({ centre: [400, 400], radius: 30 })
    expect(moveHandle(marks, 0, 1, [400, 400], photo).list[0]).toMatchObject({ radius: 2 })
  })
})

describe('taking hold', () => {
  const card: Quad = [
    [820, 300],
    [980, 300],
    [980, 500],
    [820, 500],
  ]
  const marks: Marks = { ...noMarks, list: [bands(leaning, 3)], card: { quad: card, lab: { l: 50, a: 0, b: 0 } } }
  it('finds corners, cuts, and what lies inside', () => {
    expect(hitAt(marks, 0, [305, 108], 22)).toEqual({ what: 'handle', key: 0, handle: 0 })
    expect(hitAt(marks, null, [985, 497], 22)).toEqual({ what: 'handle', key: 'card', handle: 2 })
    expect(hitAt(marks, 0, [900, 400], 22)).toEqual({ what: 'inside', key: 'card' })
    expect(hitAt(marks, 0, [1100, 100], 22)).toBeNull()
    const [first] = bandsOf(marks.list[0] as BandsMark)
    const onCut: Point = [(first![2][0] + first![3][0]) / 2, (first![2][1] + first![3][1]) / 2 + 3]
    expect(hitAt(marks, 0, onCut, 22)).toEqual({ what: 'cut', key: 0, cut: 0 })
  })
  it('knows which band a point lies in', () => {
    for (const [i, quad] of bandsOf(marks.list[0] as BandsMark).entries()) {
      const middle: Point = [0, 1].map((k) => quad.reduce((sum, p) => sum + p[k]!, 0) / 4) as Point
      expect(bandAt(marks, 0, middle)).toBe(i)
    }
  })
  it('orders four clicked corners clockwise from the top left, in whatever order they came', () => {
    for (const order of [
      [0, 1, 2, 3],
      [2, 0, 3, 1],
      [3, 2, 1, 0],
      [1, 3, 0, 2],
    ]) {
      const clicked = order.map((i) => leaning[i]!) as [Point, Point, Point, Point]
      expect(inOrder(clicked)).toEqual(leaning)
    }
  })
  it('says so when an outline crosses itself', () => {
    expect(faultIn(marks)).toBeNull()
    expect(faultIn(noMarks)).toBeNull()
    const crossed: Quad = [leaning[0], leaning[2], leaning[1], leaning[3]]
    expect(faultIn(withOne(bands(crossed, 1)))).toContain('crosses itself')
    // and drawing it does not fail
    expect(bandsOf(bands(crossed, 2))).toHaveLength(2)
  })
})

describe('zoom', () => {
  const room = { width: 700, height: 600 }
  it('shows the whole photo in the middle at first', () => {
    const view = fitView(photo, room)
    const [left, top] = toScreen(view, [0, 0])
    const [right, bottom] = toScreen(view, [photo.width, photo.height])
    expect(left).toBeGreaterThan(0)
    expect(top).toBeGreaterThan(0)
    expect(left).toBeCloseTo(room.width - right, 9)
    expect(top).toBeCloseTo(room.height - bottom, 9)
  })
  it('keeps what lies under the pointer there, and the photo on the desk', () => {
    const at: Point = [350, 300]
    const before = fitView(photo, room)
    const zoomed = zoomAt(before, 4, at, photo, room)!
    const [x, y] = toPhoto(before, at)
    const [sx, sy] = toScreen(zoomed, [x, y])
    expect(sx).toBeCloseTo(at[0], 6)
    expect(sy).toBeCloseTo(at[1], 6)
    const dragged = panBy(zoomed, [99_999, -99_999], photo, room)
    expect(toScreen(dragged, [0, 0])[0]).toBeLessThan(room.width / 2)
    expect(toScreen(dragged, [0, photo.height])[1]).toBeGreaterThan(room.height / 2)
  })
  it('is fitted again when one has zoomed all the way out', () => {
    const view = fitView(photo, room)
    expect(zoomAt(zoomAt(view, 3, [10, 10], photo, room)!, 0.01, [10, 10], photo, room)).toBeNull()
  })
})
