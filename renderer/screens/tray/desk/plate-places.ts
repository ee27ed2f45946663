import type { Point } from '../../../../shared-core/records/area.ts'

/** Where a plate would stand best: beside or above a point of the mark that it names. */
export type Wanted = {
  id: string
  /** Middle of the edge that the plate belongs to, on the screen. */
  at: Point
  /** `around`: above, but it may also stand a little to one side, where no other edge is near that it could be taken for. */
  side: 'left' | 'above' | 'around'
  width: number
  /** Before all others: the chosen one is never without a place. */
  first?: boolean
}
export type Box = { left: number; top: number; right: number; bottom: number }
export type Placed = {
  id: string
  box: Box /** From the plate to its edge, where they stand apart. */
  leader: [Point, Point] | null
}

export const plateHigh = 24
/** Ground between plate and edge, and between two plates. */
const gap = 8
const apart = 4
/** How many plates deep they may stand before one is left out. */
const deepest = 8
const rim = 4

/**
 * Gives every plate a place of its own: none covers another, an obstacle, or the rim of the desk. Where bands are
 * narrower than plates, every second one stands farther out, at the height of its band. A single mark's plate rather
 * stands inside it than on a neighbour.
 * @param marks  where the marks lie that no other's plate should cover, by the plate's id
 * @returns one entry for each plate that found a place; the others are reached by the list of colours or by zooming in
 */
export function placePlates(
  wanted: readonly Wanted[],
  room: { width: number; height: number },
  obstacles: readonly Box[] = [],
  marks: readonly { id: string; box: Box }[] = [],
): Placed[] {
  const taken: Box[] = [...obstacles]
  const placed: Placed[] = []
  const isFree = (box: Box) =>
    box.left >= rim &&
    box.right <= room.width - rim &&
    box.top >= rim &&
    box.bottom <= room.height - rim &&
    taken.every((other) => !touch(box, other))
  for (const plate of wanted.toSorted((a, b) => Number(b.first ?? false) - Number(a.first ?? false))) {
    const tried = plate.side === 'left' ? besides(plate, room) : aboves(plate, room)
    const coversOther = (box: Box) => marks.some((mark) => mark.id !== plate.id && overlap(box, mark.box))
    const near = plate.side === 'around' ? nearest(plate, room) : []
    const box =
      near.find((one) => isFree(one) && !coversOther(one)) ??
      tried.find(isFree) ??
      (plate.first ? tried.find((one) => isInside(one, room)) : undefined)
    if (!box) continue
    taken.push(box)
    placed.push({ id: plate.id, box, leader: leaderOf(plate, box) })
  }
  return placed
}

const touch = (a: Box, b: Box) =>
  a.left < b.right + apart && b.left < a.right + apart && a.top < b.bottom + apart && b.top < a.bottom + apart

const overlap = (a: Box, b: Box) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom

const isInside = (box: Box, room: { width: number; height: number }) =>
  box.left >= rim && box.right <= room.width - rim && box.top >= rim && box.bottom <= room.height - rim

const boxAt = (left: number, top: number, width: number): Box => ({
  left,
  top,
  right: left + width,
  bottom: top + plateHigh,
})

/** Keeps a plate whose mark lies at the rim, or beyond it in a close view, on the desk. */
const within = (value: number, space: number, size: number) =>
  Math.min(Math.max(value, rim), Math.max(space - rim - size, rim))

/** Outwards to the left of the edge, then inwards over the panel. */
function besides({ at: [x, y], width }: Wanted, room: { width: number; height: number }): Box[] {
  const top = within(y - plateHigh / 2, room.height, plateHigh)
  const levels = Array.from({ length: deepest }, (_, level) => level * (width + gap))
  const edge = Math.min(x, room.width - rim)
  const outside = levels.map((far) => boxAt(edge - gap - width - far, top, width))
  const inside = levels.map((far) => boxAt(within(x + gap, room.width, width) + far, top, width))
  return [...outside, ...inside]
}

/** Above the edge or just below it, without a leader. */
function nearest(plate: Wanted, room: { width: number; height: number }): Box[] {
  const all = aboves(plate, room)
  const aside = all.length / (2 * deepest)
  return [...all.slice(0, aside), ...all.slice(aside * deepest, aside * (deepest + 1))]
}

/** Upwards from the edge, then downwards over what is marked. */
function aboves({ at: [x, y], width, side }: Wanted, room: { width: number; height: number }): Box[] {
  const aside = side === 'around' ? [0, -width / 2, width / 2] : [0]
  const foot = within(y - gap - plateHigh, room.height, plateHigh)
  const head = within(y + gap, room.height, plateHigh)
  const levels = Array.from({ length: deepest }, (_, level) => level * (plateHigh + apart))
  const at = (top: number) => aside.map((by) => boxAt(within(x - width / 2 + by, room.width, width), top, width))
  return [...levels.flatMap((far) => at(foot - far)), ...levels.flatMap((far) => at(head + far))]
}

/** A plate that stands farther off than usual is tied to its edge by a line. */
function leaderOf({ at: [x, y], side }: Wanted, box: Box): [Point, Point] | null {
  const middle = (box.top + box.bottom) / 2
  if (side === 'left') {
    if (box.right < x - 2 * gap)
      return [
        [box.right, middle],
        [x, y],
      ]
    return box.left > x + 2 * gap
      ? [
          [box.left, middle],
          [x, y],
        ]
      : null
  }
  const centre = Math.min(Math.max(x, box.left), box.right)
  if (box.bottom < y - 2 * gap)
    return [
      [centre, box.bottom],
      [x, y],
    ]
  return box.top > y + 2 * gap
    ? [
        [centre, box.top],
        [x, y],
      ]
    : null
}
