import type { Shape } from '../../../shared-core/records/area.ts'
import { type Box, boxOfShape } from './framing.ts'

/** Where a plate stands, in pixels of the frame on screen, and the place in its area that it speaks of. */
export type PlateSpot = {
  /** Of which area, in the order given. */
  index: number
  /** The edge of the plate that faces its area, and the middle of that edge. */
  x: number
  y: number
  side: 'left' | 'right' | 'above'
  /** The middle of the area's edge that faces the plate. */
  at: { x: number; y: number }
  /** It had to move away from its area: a line leads there. */
  moved: boolean
}
export type Plates = { spots: PlateSpot[]; small: boolean }

/** Heights of a plate and of a small one with the gap to the next, and the width of one above a band; px as in panel.css. */
const pitch = { usual: 27, small: 19, above: 44 }
/** A plate with its strokes needs about this much room at the left of its area, px. */
const leftRoom = 84
const gap = 16

/**
 * Places along a line that keep `apart`, as near as can be to those wanted (least squares: pool adjacent violators,
 * Barlow et al. 1972) and inside 0 to `room`, in the order wanted.
 */
export function spreadAlong(wanted: readonly number[], apart: number, room: number): number[] {
  const order = wanted.map((_, i) => i).toSorted((a, b) => wanted[a]! - wanted[b]! || a - b)
  const blocks: { sum: number; count: number }[] = []
  order.forEach((of, rank) => {
    blocks.push({ sum: wanted[of]! - rank * apart, count: 1 })
    for (;;) {
      const [before, last] = blocks.slice(-2)
      if (!before || !last || before.sum / before.count <= last.sum / last.count) break
      blocks.splice(-2, 2, { sum: before.sum + last.sum, count: before.count + last.count })
    }
  })
  const places = Array.from<number>({ length: wanted.length })
  const free = blocks.flatMap(({ sum, count }) => Array.from<number>({ length: count }).fill(sum / count))
  const most = room - apart * order.length
  order.forEach((of, rank) => {
    places[of] = Math.min(Math.max(free[rank]!, apart / 2), Math.max(most, 0) + apart / 2) + rank * apart
  })
  return places
}

/**
 * A plate for each area, beside it and clear of the others however narrow the bands are. Bands that lie side by side get theirs
 * above. Where there is no room for all, every second (third, …) keeps its plate.
 * @param frame  the part of the photo that is shown, in its pixels
 * @param size   of the frame on screen, px
 */
export function placePlates(shapes: readonly Shape[], frame: Box, size: { width: number; height: number }): Plates {
  const scale = size.width / frame.width
  const boxes = shapes.map((shape, index) => {
    const box = boxOfShape(shape)
    const [x, y] = [(box.x - frame.x) * scale, (box.y - frame.y) * scale]
    return { index, x, y, right: x + box.width * scale, bottom: y + box.height * scale }
  })
  if (areSideBySide(boxes)) return { spots: above(boxes, size.width), small: false }
  // those at one side whose edges lie near each other share a column
  const columns = new Map<string, typeof boxes>()
  for (const box of boxes) {
    const side = box.x < leftRoom && size.width - box.right > box.x ? 'right' : 'left'
    const edge = side === 'right' ? box.right : Math.max(box.x, leftRoom)
    const key = `${side} ${Math.round(edge / leftRoom)}`
    columns.set(key, [...(columns.get(key) ?? []), box])
  }
  const longest = Math.max(1, ...[...columns.values()].map((column) => column.length))
  const small = longest * pitch.usual > size.height
  const apart = small ? pitch.small : pitch.usual
  const spots = [...columns].flatMap(([key, column]) => {
    const shown = thinned(column, apart, size.height)
    const isRight = key.startsWith('right')
    const middles = shown.map((box) => (box.y + box.bottom) / 2)
    return spreadAlong(middles, apart, size.height).map((y, i): PlateSpot => {
      const edge = isRight ? shown[i]!.right : shown[i]!.x
      return {
        index: shown[i]!.index,
        x: isRight ? edge + gap : Math.max(edge - gap, leftRoom - gap),
        y,
        side: isRight ? 'right' : 'left',
        at: { x: edge, y: middles[i]! },
        moved: Math.abs(y - middles[i]!) > 4,
      }
    })
  })
  return { spots, small }
}

type Edges = { index: number; x: number; y: number; right: number; bottom: number }

function areSideBySide(boxes: readonly Edges[]): boolean {
  if (boxes.length < 2) return false
  const middles = boxes.map(({ y, bottom }) => (y + bottom) / 2)
  const height = Math.min(...boxes.map(({ y, bottom }) => bottom - y))
  return Math.max(...middles) - Math.min(...middles) < height / 2
}

function above(boxes: readonly Edges[], width: number): PlateSpot[] {
  const shown = thinned(boxes, pitch.above, width)
  const middles = shown.map(({ x, right }) => (x + right) / 2)
  return spreadAlong(middles, pitch.above, width).map((x, i) => ({
    index: shown[i]!.index,
    x,
    y: Math.max(shown[i]!.y - 8, pitch.usual),
    side: 'above',
    at: { x: middles[i]!, y: shown[i]!.y },
    moved: Math.abs(x - middles[i]!) > 4,
  }))
}

function thinned<T>(all: readonly T[], apart: number, room: number): T[] {
  const each = Math.max(1, Math.ceil((all.length * apart) / Math.max(room, apart)))
  return all.filter((_, i) => i % each === 0)
}
