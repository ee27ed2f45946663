/** Plates beside the areas of a photo: order, distance and room; the least-squares placing against a search by hand. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { placePlates, spreadAlong } from '../../renderer/screens/panel/plates.ts'
import type { Shape } from '../../shared-core/records/area.ts'

const quad = (x: number, y: number, width: number, height: number): Shape => ({
  kind: 'quad',
  quad: [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ],
})
const frame = { x: 0, y: 0, width: 400, height: 400 }
const size = { width: 400, height: 400 }

describe('places along a line', () => {
  it('keep their distance, their order and inside, and stay where they are wanted when there is room', () => {
    const wanted = fc.array(fc.double({ min: 0, max: 400, noNaN: true }), { minLength: 1, maxLength: 14 })
    fc.assert(
      fc.property(wanted, (places) => {
        const found = spreadAlong(places, 27, 400)
        const order = places.map((_, i) => i).toSorted((a, b) => places[a]! - places[b]! || a - b)
        for (let i = 1; i < order.length; i++)
          expect(found[order[i]!]! - found[order[i - 1]!]!).toBeGreaterThanOrEqual(27 - 1e-9)
        for (const place of found) {
          expect(place).toBeGreaterThanOrEqual(13.5 - 1e-9)
          expect(place).toBeLessThanOrEqual(386.5 + 1e-9)
        }
      }),
    )
    expect(spreadAlong([50, 150, 300], 27, 400)).toEqual([50, 150, 300])
  })

  it('crowded ones are moved as little as can be', () => {
    // three at 200: the middle one stays, the others give way alike
    expect(spreadAlong([200, 200, 200], 27, 400)).toEqual([173, 200, 227])
    // two at 100 and 110, 27 apart around their mean
    expect(spreadAlong([100, 110], 27, 400)).toEqual([91.5, 118.5])
  })
})

describe('plates of a photo', () => {
  const overlap = (a: { x: number; y: number }, b: { x: number; y: number }, apart: number) =>
    Math.abs(a.x - b.x) < 40 && Math.abs(a.y - b.y) < apart - 1e-6

  it('of narrow bands stand clear of each other, a line leading to those that had to move', () => {
    const bands = Array.from({ length: 10 }, (_, i) => quad(150, 150 + i * 10, 200, 8))
    const { spots, small } = placePlates(bands, frame, size)
    expect(small).toBe(false)
    expect(spots).toHaveLength(10)
    for (const a of spots) for (const b of spots) expect(a !== b && overlap(a, b, 27)).toBe(false)
    expect(spots.some(({ moved }) => moved)).toBe(true)
    expect(spots.map(({ index }) => index)).toEqual([...bands.keys()])
  })

  it('become small before they are thinned out, and are thinned out before they overlap', () => {
    const bands = (n: number) => Array.from({ length: n }, (_, i) => quad(150, 10 + (i * 380) / n, 200, 300 / n))
    const twenty = placePlates(bands(20), frame, size)
    expect([twenty.small, twenty.spots.length]).toEqual([true, 20])
    const forty = placePlates(bands(40), frame, size)
    expect(forty.spots.length).toBe(20)
    for (const a of forty.spots) for (const b of forty.spots) expect(a !== b && overlap(a, b, 19)).toBe(false)
  })

  it('of bands side by side stand above them', () => {
    const bands = Array.from({ length: 6 }, (_, i) => quad(100 + i * 30, 150, 26, 200))
    const { spots } = placePlates(bands, frame, size)
    expect(spots.every(({ side, y }) => side === 'above' && y <= 150)).toBe(true)
    for (const a of spots) for (const b of spots) expect(a !== b && Math.abs(a.x - b.x) < 44 - 1e-6).toBe(false)
  })

  it('stand at the right where there is no room at the left', () => {
    const { spots } = placePlates([quad(20, 50, 150, 80), quad(20, 150, 150, 80)], frame, size)
    expect(spots.every(({ side, x }) => side === 'right' && x >= 170)).toBe(true)
  })
})
