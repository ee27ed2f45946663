/** Lengths of the wall in CSS pixels; wall.css has the same. All rails are one height, so that places are reckoned, not asked. */

/** Left and right of the rails inside the wall. */
const sides = { left: 24, right: 16 }
/** Beside the paint: tally at the left, air at the right. */
const tally = 24
const besidePaint = 40
/** Rail and hook above; code, name and small print below. */
const abovePaint = 54
const belowPaint = 64

export type WallGeometry = { count: number; columns: number; columnWidth: number; railHeight: number; size: number }

/** @param width of the wall inside its scroll bar @param size width of the paint, which is twice as high */
export function wallGeometry(count: number, width: number, size: number): WallGeometry {
  const inside = Math.max(0, width - sides.left - sides.right)
  const columns = Math.max(1, Math.floor(inside / (size + besidePaint)))
  return { count, columns, columnWidth: inside / columns, railHeight: size * 2 + abovePaint + belowPaint, size }
}

export const railCount = ({ count, columns }: WallGeometry): number => Math.ceil(count / columns)

/** A rectangle on the wall, from its own top left corner. */
export type Box = { left: number; top: number; right: number; bottom: number }

export function boxBetween(a: { x: number; y: number }, b: { x: number; y: number }): Box {
  return { left: Math.min(a.x, b.x), top: Math.min(a.y, b.y), right: Math.max(a.x, b.x), bottom: Math.max(a.y, b.y) }
}

/** Where the paint of a hook is. */
export function paintOf(index: number, { columns, columnWidth, railHeight, size }: WallGeometry): Box {
  const left = sides.left + (index % columns) * columnWidth + tally
  const top = Math.floor(index / columns) * railHeight + abovePaint
  return { left, top, right: left + size, bottom: top + size * 2 }
}

/** Indexes of the hooks whose paint a rectangle touches, in the order they hang; also of those that are not in the page. */
export function hooksIn(box: Box, wall: WallGeometry): number[] {
  const { count, columns, columnWidth, railHeight, size } = wall
  const firstColumn = Math.max(0, Math.floor((box.left - sides.left - tally - size) / columnWidth) + 1)
  const lastColumn = Math.min(columns - 1, Math.floor((box.right - sides.left - tally) / columnWidth))
  const firstRail = Math.max(0, Math.floor((box.top - abovePaint - size * 2) / railHeight) + 1)
  const lastRail = Math.min(railCount(wall) - 1, Math.floor((box.bottom - abovePaint) / railHeight))
  const found: number[] = []
  for (let rail = firstRail; rail <= lastRail; rail++)
    for (let column = firstColumn; column <= lastColumn; column++) {
      const index = rail * columns + column
      if (index < count) found.push(index)
    }
  return found
}

/** Rails that are in sight, wholly or in part. */
export function railsInSight(top: number, height: number, wall: WallGeometry): { first: number; last: number } {
  const most = Math.max(0, railCount(wall) - 1)
  const first = Math.min(most, Math.max(0, Math.floor(top / wall.railHeight)))
  return { first, last: Math.min(most, Math.max(first, Math.floor((top + height - 1) / wall.railHeight))) }
}
