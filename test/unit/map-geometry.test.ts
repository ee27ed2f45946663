import { type Color, converter } from 'culori'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { markAt, SpotGrid } from '../../renderer/screens/rack/map/geometry/grid.ts'
import { rimWords, wordOf } from '../../renderer/screens/rack/map/geometry/hue-words.ts'
import { isInside, panelsOfRows, rowsInLoop, rowsInRing, take } from '../../renderer/screens/rack/map/geometry/loop.ts'
import {
  fitted,
  frameOf,
  panBy,
  reachOf,
  toColour,
  toSpot,
  zoomAt,
} from '../../renderer/screens/rack/map/geometry/projection.ts'
import { labToPixel, sliceLimits, sliceRun, stepsOfPanel } from '../../renderer/screens/rack/map/geometry/steps.ts'
import { walk, walkRound } from '../../renderer/screens/rack/map/geometry/walk.ts'
import { labToCssColour } from '../../shared-core/colour/screen.ts'
import { stepsOf } from './map-steps.ts'

const room = { width: 856, height: 568 }
/** Evenly spread; doubles of fast-check crowd around 0. */
const between = (min: number, max: number) =>
  fc.integer({ min: Math.round(1000 * min), max: Math.round(1000 * max) }).map((n) => n / 1000)
const anyLab = fc.record({ l: between(0, 100), a: between(-90, 90), b: between(-90, 90) })
const anyLabs = fc.array(anyLab, { minLength: 1, maxLength: 120 })
const anyPlace = fc.record({ a: between(-100, 100), b: between(-100, 100) })

describe('the projection', () => {
  // CIE LCh as culori (an independent library) computes it from CIELAB D50
  const lch = converter('lch')

  it('puts chroma out and hue around, true to both', () => {
    fc.assert(
      fc.property(anyLab, between(1, 30), (lab, zoom) => {
        const frame = frameOf({ a: 0, b: 0, zoom }, room, 100)
        const { x, y } = toSpot(frame, lab.a, lab.b)
        const [dx, up] = [x - room.width / 2, room.height / 2 - y]
        const { c, h = 0 } = lch({ mode: 'lab', ...lab })
        expect(Math.hypot(dx, up) / frame.scale).toBeCloseTo(c, 6)
        if (c < 0.01) return
        const angle = ((Math.atan2(up, dx) * 180) / Math.PI + 360) % 360
        const apart = Math.abs(angle - h)
        expect(Math.min(apart, 360 - apart)).toBeLessThan(1e-4)
      }),
    )
  })

  it('goes there and back', () => {
    fc.assert(
      fc.property(anyPlace, anyPlace, between(1, 30), (place, { a, b }, zoom) => {
        const frame = frameOf({ a, b, zoom }, room, 100)
        const back = toColour(frame, toSpot(frame, place.a, place.b))
        expect(back.a).toBeCloseTo(place.a, 6)
        expect(back.b).toBeCloseTo(place.b, 6)
      }),
    )
  })

  it('shows the whole disc when fitted, with room for the words beside it', () => {
    const frame = frameOf(fitted, room, 100)
    for (const [a, b] of [
      [100, 0],
      [-100, 0],
      [0, 100],
      [0, -100],
    ] as const) {
      const { x, y } = toSpot(frame, a, b)
      expect(x).toBeGreaterThanOrEqual(80)
      expect(x).toBeLessThanOrEqual(room.width - 80)
      expect(y).toBeGreaterThanOrEqual(20)
      expect(y).toBeLessThanOrEqual(room.height - 20)
    }
  })

  it('keeps the colour under the pointer while it zooms in', () => {
    fc.assert(
      fc.property(between(300, 560), between(150, 400), between(1.05, 3), (x, y, factor) => {
        const camera = { a: 0, b: 0, zoom: 4 }
        const before = toColour(frameOf(camera, room, 100), { x, y })
        const after = zoomAt(camera, factor, { x, y }, frameOf(camera, room, 100), 100)
        const now = toColour(frameOf(after, room, 100), { x, y })
        expect(now.a).toBeCloseTo(before.a, 6)
        expect(now.b).toBeCloseTo(before.b, 6)
      }),
    )
  })

  it('never leaves the disc, and comes back to the middle when all is seen', () => {
    fc.assert(
      fc.property(between(-2000, 2000), between(-2000, 2000), between(1, 30), (dx, dy, zoom) => {
        const camera = panBy({ a: 0, b: 0, zoom }, dx, dy, frameOf({ a: 0, b: 0, zoom }, room, 100), 100)
        expect(Math.hypot(camera.a, camera.b)).toBeLessThanOrEqual(100)
        const out = zoomAt(camera, 1 / 100, { x: 10, y: 10 }, frameOf(camera, room, 100), 100)
        expect(out.zoom).toBe(1)
        expect(Math.hypot(out.a, out.b)).toBeLessThan(1e-9)
      }),
    )
  })
})

describe('colours of marks', () => {
  const rgb = converter('rgb')
  const p3 = converter('p3')

  it.each([
    ['sRGB', (colour: Color) => rgb(colour)],
    ['Display P3', (colour: Color) => p3(colour)],
  ] as const)('are those of culori in %s, and what the screen cannot show is told', (space, convert) => {
    fc.assert(
      fc.property(anyLab, (lab) => {
        const { pixel, isBeyond } = labToPixel(lab, space)
        const theirs = convert({ mode: 'lab', ...lab })
        const channels = [theirs.r, theirs.g, theirs.b]
        const most = Math.max(...channels.map((value) => Math.max(value - 1, -value)))
        // beside the edge rounding decides
        const isClose = Math.abs(most - 1 / 510) < 1e-4
        expect(isClose || isBeyond === most > 1 / 510).toBe(true)
        const bytes = [0, 8, 16].map((shift) => (pixel >>> shift) & 255)
        // what the screen cannot show is drawn as every swatch draws it
        const swatch = labToCssColour(lab)
        const shown = space === 'sRGB' ? rgb(swatch.hex)! : p3(swatch.css)!
        const wanted = most > 1 / 510 ? [shown.r, shown.g, shown.b] : channels
        for (const [i, value] of wanted.entries()) expect(Math.abs(bytes[i]! - 255 * value)).toBeLessThan(0.6)
        expect(pixel >>> 24).toBe(255)
      }),
    )
  })
})

describe('words around the rim', () => {
  // CSS Color Module Level 4, named colours, as culori parses them. Not asked: what stands half way between two words there
  // (lime and green have one hue, purple and magenta another).
  const lab = converter('lab')
  it.each([
    ['red', 'red'],
    ['crimson', 'red'],
    ['orange', 'orange'],
    ['darkorange', 'orange'],
    ['yellow', 'yellow'],
    ['greenyellow', 'lime'],
    ['forestgreen', 'green'],
    ['seagreen', 'green'],
    ['teal', 'blue-green'],
    ['turquoise', 'blue-green'],
    ['skyblue', 'sky'],
    ['blue', 'blue'],
    ['royalblue', 'blue'],
    ['blueviolet', 'violet'],
    ['violet', 'violet'],
    ['deeppink', 'magenta'],
    ['gray', 'grey'],
    ['silver', 'grey'],
    ['white', 'white'],
    ['black', 'black'],
  ])('%s lies at %s', (name, word) => {
    expect(wordOf(lab(name)!)).toBe(word)
  })

  it('go round once', () => {
    expect(rimWords.map(({ angle }) => angle)).toEqual(rimWords.map(({ angle }) => angle).toSorted((x, y) => x - y))
  })
})

describe('steps', () => {
  it('lie in order of lightness, a slice is one run, and panels find their own, bare to deepest', () => {
    fc.assert(
      fc.property(anyLabs, between(0, 100), (labs, middle) => {
        const steps = stepsOf(labs)
        const [from, to] = sliceRun(steps, { middle })
        const limits = sliceLimits({ middle })
        const inside = [...steps.l].map((l) => l >= limits.from && l < limits.to)
        expect(inside).toEqual([...steps.l].map((_, row) => row >= from && row < to))
        for (let panel = 0; panel < steps.panelIds.length; panel++) {
          const rows = [...stepsOfPanel(steps, panel)]
          expect(rows.every((row) => steps.panel[row] === panel)).toBe(true)
          expect(rows.map((row) => steps.coats[row])).toEqual(rows.map((_, i) => i))
        }
      }),
    )
  })

  it('the outermost slices take in what lies beyond 0 and 100: silver may', () => {
    const steps = stepsOf([
      { l: -0.4, a: 0, b: 0 },
      { l: 104, a: 0, b: 0 },
    ])
    expect(sliceRun(steps, { middle: 10 })).toEqual([0, 1])
    expect(sliceRun(steps, { middle: 90 })).toEqual([1, 2])
    expect(sliceRun(steps, { middle: null })).toEqual([0, 2])
  })

  it('the disc reaches as far as the most colourful step, in whole tens', () => {
    expect(reachOf(stepsOf([{ l: 50, a: 60, b: 60 }]))).toBe(90)
    expect(reachOf(stepsOf([{ l: 50, a: 1, b: 0 }]))).toBe(40)
  })
})

describe('the grid', () => {
  it('finds what looking at every step finds', () => {
    fc.assert(
      fc.property(anyLabs, anyPlace, between(0.1, 60), (labs, place, radius) => {
        const steps = stepsOf(labs)
        const grid = new SpotGrid(steps, [0, steps.count])
        const far = (row: number) => Math.hypot(steps.a[row]! - place.a, steps.b[row]! - place.b)
        const all = Array.from({ length: steps.count }, (_, row) => row)
        const inside = all.filter((row) => far(row) <= radius)
        expect(rowsInRing(grid, { ...place, radius })).toEqual(inside)
        const nearest = grid.nearest(place, radius)
        expect(nearest < 0 ? Number.POSITIVE_INFINITY : far(nearest)).toBe(
          Math.min(Number.POSITIVE_INFINITY, ...inside.map(far)),
        )
      }),
    )
  })

  it('knows nothing outside its slice', () => {
    const steps = stepsOf([
      { l: 10, a: 0, b: 0 },
      { l: 50, a: 1, b: 0 },
      { l: 90, a: 2, b: 0 },
    ])
    expect(rowsInRing(new SpotGrid(steps, [1, 2]), { a: 0, b: 0, radius: 50 })).toEqual([1])
  })

  it('takes the mark on top of those under the pointer, else the one nearest by', () => {
    const steps = stepsOf([
      { l: 40, a: 0, b: 0 },
      { l: 50, a: 1, b: 0 },
      { l: 60, a: 20, b: 0 },
    ])
    const grid = new SpotGrid(steps, [0, 3])
    // marks 4 wide and 8 high
    expect(markAt(grid, steps, { a: 0.5, b: 3 }, 4, 2)).toBe(1)
    expect(markAt(grid, steps, { a: -1.5, b: 0 }, 4, 2)).toBe(0)
    expect(markAt(grid, steps, { a: 17, b: 0 }, 4, 2)).toBe(2)
    expect(markAt(grid, steps, { a: 10, b: 0 }, 4, 2)).toBe(-1)
  })

  it('tells how thickly steps lie, by the squares that hold any', () => {
    const labs = Array.from({ length: 32 }, (_, i) => ({ l: 50, a: 1 + (i % 2) * 40, b: 1 }))
    // two squares of 4 × 4 hold sixteen each
    expect(new SpotGrid(stepsOf(labs), [0, 32]).density).toBe(1)
    expect(new SpotGrid(stepsOf(labs), [0, 0]).density).toBe(0)
  })
})

describe('a loop', () => {
  it('holds what lies on the inner side of every edge, where it is convex', () => {
    const anyRound = fc.tuple(anyPlace, between(5, 60), fc.integer({ min: 3, max: 12 }), fc.boolean())
    fc.assert(
      fc.property(anyRound, anyPlace, ([middle, radius, corners, turned], place) => {
        const round = Array.from({ length: corners }, (_, i) => {
          const angle = ((turned ? -1 : 1) * 2 * Math.PI * i) / corners
          return { a: middle.a + radius * Math.cos(angle), b: middle.b + radius * Math.sin(angle) }
        })
        const sides = round.map((from, i) => {
          const to = round[(i + 1) % corners]!
          return (to.a - from.a) * (place.b - from.b) - (to.b - from.b) * (place.a - from.a)
        })
        fc.pre(sides.every((side) => Math.abs(side) > 1e-6))
        expect(isInside(round, place)).toBe(sides.every((side) => side > 0 === !turned))
      }),
    )
  })

  it('that crosses itself holds by the even-odd rule: the middle of a five-pointed star lies outside', () => {
    const star = [0, 2, 4, 1, 3].map((i) => {
      const angle = Math.PI / 2 + (2 * Math.PI * i) / 5
      return { a: 10 * Math.cos(angle), b: 10 * Math.sin(angle) }
    })
    expect(isInside(star, { a: 0, b: 0 })).toBe(false)
    expect(isInside(star, { a: 0, b: 7 })).toBe(true)
    expect(isInside(star, { a: 0, b: 11 })).toBe(false)
  })

  it('takes the same steps as looking at every one, and none before it is a loop', () => {
    fc.assert(
      fc.property(anyLabs, fc.array(anyPlace, { minLength: 3, maxLength: 20 }), (labs, loop) => {
        const steps = stepsOf(labs)
        const all = Array.from({ length: steps.count }, (_, row) => row)
        const inside = all.filter((row) => isInside(loop, { a: steps.a[row]!, b: steps.b[row]! }))
        expect(rowsInLoop(new SpotGrid(steps, [0, steps.count]), steps, loop)).toEqual(inside)
      }),
    )
    const steps = stepsOf([{ l: 50, a: 0, b: 0 }])
    expect(rowsInLoop(new SpotGrid(steps, [0, 1]), steps, [{ a: -1, b: -1 }])).toEqual([])
  })

  it('chooses panels, each once, and adds or takes away without touching the order of the rest', () => {
    // three steps to a panel
    const steps = stepsOf(Array.from({ length: 9 }, (_, i) => ({ l: 10 * i, a: 0, b: 0 })))
    expect(panelsOfRows(steps, [0, 1, 8])).toEqual(['panel-0', 'panel-2'])
    expect(take(['x', 'a'], ['a', 'b'], 'only')).toEqual(['a', 'b'])
    expect(take(['x', 'a'], ['a', 'b'], 'add')).toEqual(['x', 'a', 'b'])
    expect(take(['x', 'a'], ['a', 'b'], 'away')).toEqual(['x'])
  })
})

describe('walking', () => {
  it('goes to the nearest step on that side, and stays where there is none', () => {
    const steps = stepsOf([
      { l: 50, a: 0, b: 0 },
      { l: 51, a: 10, b: 2 },
      { l: 52, a: 30, b: 0 },
      { l: 53, a: 0, b: 20 },
    ])
    expect(walk(steps, [0, 4], 0, 'right')).toBe(1)
    expect(walk(steps, [0, 4], 1, 'right')).toBe(2)
    expect(walk(steps, [0, 4], 0, 'up')).toBe(3)
    expect(walk(steps, [0, 4], 0, 'left')).toBe(0)
    expect(walk(steps, [0, 4], 3, 'down')).toBe(0)
  })

  it('goes nowhere but more that way than sideways, and passes nothing that lies straight ahead and nearer', () => {
    fc.assert(
      fc.property(fc.array(anyLab, { minLength: 2, maxLength: 40 }), (labs) => {
        const steps = stepsOf(labs)
        const to = walk(steps, [0, steps.count], 0, 'right')
        const [da, db] = [steps.a[to]! - steps.a[0]!, steps.b[to]! - steps.b[0]!]
        expect(Math.abs(db)).toBeLessThanOrEqual(Math.max(0, da))
        const ahead = Array.from({ length: steps.count - 1 }, (_, i) => i + 1)
          .filter((row) => steps.b[row] === steps.b[0] && steps.a[row]! > steps.a[0]!)
          .map((row) => steps.a[row]! - steps.a[0]!)
        expect(da).toBeLessThanOrEqual(Math.min(Number.POSITIVE_INFINITY, ...ahead))
      }),
    )
  })

  it('around the hues comes to every step once, either way', () => {
    fc.assert(
      fc.property(
        fc.array(anyLab, { minLength: 1, maxLength: 25 }),
        fc.constantFrom(1 as const, -1 as const),
        (labs, way) => {
          const steps = stepsOf(labs)
          const round = [0]
          for (let i = 1; i < steps.count; i++) round.push(walkRound(steps, [0, steps.count], round.at(-1)!, way))
          expect(new Set(round).size).toBe(steps.count)
          expect(walkRound(steps, [0, steps.count], round.at(-1)!, way)).toBe(0)
        },
      ),
    )
  })

  it('passes through steps of exactly one colour one after the other', () => {
    const steps = stepsOf(Array.from({ length: 4 }, () => ({ l: 50, a: 5, b: 5 })))
    expect(walk(steps, [0, 4], 0, 'right')).toBe(1)
    expect(walk(steps, [0, 4], 2, 'left')).toBe(1)
    expect(walk(steps, [0, 4], 3, 'right')).toBe(3)
  })
})
