import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Box, placePlates, type Wanted } from '../../renderer/screens/tray/desk/plate-places.ts'

const room = { width: 712, height: 556 }
const covers = (a: Box, b: Box) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom

/** Plates of bands that follow one another down a panel's left edge. */
const bandsDown = (count: number, high: number, x = 240): Wanted[] =>
  Array.from({ length: count }, (_, i) => ({
    id: `band ${i}`,
    at: [x, 20 + (i + 0.5) * high],
    side: 'left',
    width: 48,
  }))

const anyWanted: fc.Arbitrary<Wanted[]> = fc
  .array(
    fc.record({
      at: fc.tuple(fc.double({ min: -50, max: 760, noNaN: true }), fc.double({ min: -50, max: 600, noNaN: true })),
      side: fc.constantFrom('left' as const, 'above' as const, 'around' as const),
      width: fc.integer({ min: 30, max: 110 }),
    }),
    { maxLength: 40 },
  )
  .map((list) => list.map((one, i) => ({ id: String(i), ...one, first: i === 3 })))

describe('plates', () => {
  it('never cover one another and never leave the desk', () => {
    fc.assert(
      fc.property(anyWanted, (wanted) => {
        const boxes = placePlates(wanted, room).map(({ box }) => box)
        for (const [i, box] of boxes.entries()) {
          expect(box.left >= 0 && box.top >= 0 && box.right <= room.width && box.bottom <= room.height).toBe(true)
          expect(boxes.slice(i + 1).filter((other) => covers(box, other))).toEqual([])
        }
      }),
    )
  })

  it('the chosen one always has a place', () => {
    fc.assert(
      fc.property(anyWanted, (wanted) => {
        fc.pre(wanted.length > 3)
        expect(placePlates(wanted, room).some(({ id }) => id === '3')).toBe(true)
      }),
    )
  })

  it.each([
    [5, 100],
    [13, 20],
    [26, 20],
    [34, 15],
  ])('%i bands of %i px each have a plate at their own height', (count, high) => {
    const wanted = bandsDown(count, high)
    const placed = placePlates(wanted, room)
    expect(placed).toHaveLength(count)
    for (const { id, box } of placed) {
      const y = wanted.find((one) => one.id === id)!.at[1]
      expect(Math.abs((box.top + box.bottom) / 2 - y)).toBeLessThanOrEqual(1)
    }
  })

  it('stand apart from the handles, tied to their edge by a line when they are far from it', () => {
    const [band] = bandsDown(1, 20)
    const handle: Box = { left: 220, top: 10, right: 260, bottom: 50 }
    const [placed] = placePlates([band!], room, [handle])
    expect(covers(placed!.box, handle)).toBe(false)
    expect(placed!.leader?.[1]).toEqual(band!.at)
    expect(placePlates([band!], room)[0]!.leader).toBeNull()
  })

  it('of bands side by side, narrower than a plate, stand in rows', () => {
    const wanted = Array.from(
      { length: 12 },
      (_, i): Wanted => ({
        id: String(i),
        at: [200 + i * 18, 300],
        side: 'above',
        width: 50,
      }),
    )
    const placed = placePlates(wanted, room)
    expect(placed).toHaveLength(12)
    expect(new Set(placed.map(({ box }) => box.top)).size).toBeGreaterThan(2)
  })
})
