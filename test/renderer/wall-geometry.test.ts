import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  boxBetween,
  hooksIn,
  paintOf,
  railCount,
  railsInSight,
  wallGeometry,
} from '../../renderer/screens/rack/wall/geometry.ts'
import { cutKey } from '../../renderer/screens/rack/wall/hanging-panel.tsx'

const walls = fc
  .record({
    count: fc.integer({ min: 1, max: 400 }),
    width: fc.integer({ min: 320, max: 2560 }),
    size: fc.integer({ min: 56, max: 224 }),
  })
  .map(({ count, width, size }) => wallGeometry(count, width, size))
const point = fc.record({ x: fc.integer({ min: -50, max: 2600 }), y: fc.integer({ min: -50, max: 20_000 }) })

describe('a frame over the wall', () => {
  it('touches the panels whose paint it overlaps, and no others', () => {
    fc.assert(
      fc.property(walls, point, point, (wall, a, b) => {
        const box = boxBetween(a, b)
        // one by one, as a painter would look: paint and frame have something in common
        const touched = Array.from({ length: wall.count }, (_, index) => index).filter((index) => {
          const paint = paintOf(index, wall)
          return paint.left <= box.right && paint.right > box.left && paint.top <= box.bottom && paint.bottom > box.top
        })
        expect(hooksIn(box, wall)).toEqual(touched)
      }),
    )
  })

  it('over the whole of 10,000 panels touches each once', () => {
    const wall = wallGeometry(10_000, 1280, 96)
    const all = { left: 0, top: 0, right: 1280, bottom: railCount(wall) * wall.railHeight }
    expect(hooksIn(all, wall)).toEqual(Array.from({ length: 10_000 }, (_, index) => index))
  })
})

describe('rails in sight', () => {
  it('are those that the window overlaps', () => {
    fc.assert(
      fc.property(
        walls,
        fc.integer({ min: 0, max: 40_000 }),
        fc.integer({ min: 100, max: 1400 }),
        (wall, top, height) => {
          const most = railCount(wall) * wall.railHeight - height
          const at = Math.max(0, Math.min(top, most))
          const seen = Array.from({ length: railCount(wall) }, (_, rail) => rail).filter(
            (rail) => rail * wall.railHeight < at + height && (rail + 1) * wall.railHeight > at,
          )
          expect(railsInSight(at, height, wall)).toEqual({ first: seen[0], last: seen.at(-1) })
        },
      ),
    )
  })

  it('hold nine panels each in a window of 1280 and size 96', () => {
    expect(wallGeometry(60, 1280, 96).columns).toBe(9)
  })
})

describe('the rendition of a band', () => {
  it('has at least nine tenths of the pixels that the screen has', () => {
    const pixels = { '/small': 128, '': 256, '/large': 640 }
    fc.assert(
      fc.property(
        fc.integer({ min: 56, max: 224 }),
        fc.integer({ min: 1, max: 8 }),
        fc.constantFrom(1, 1.25, 1.5, 2),
        (size, bands, ratio) => {
          const key = cutKey('k', size, bands, ratio).slice('cut/k'.length) as keyof typeof pixels
          const wanted = Math.max(size, (size * 2) / bands) * ratio
          expect(pixels[key] * 1.1).toBeGreaterThanOrEqual(Math.min(wanted, 640))
          // and never the next larger one without need
          const smaller = { '/small': 0, '': 128, '/large': 256 }[key]
          expect(wanted).toBeGreaterThan(smaller)
        },
      ),
    )
  })
})
