import type { Layout, Point, Shape } from '../../../shared-core/records/area.ts'

/** A part of a photo, in its pixels. */
export type Box = { x: number; y: number; width: number; height: number }

/** Air around what is marked, as a share of its larger side; at the left there is room for a plate. */
const air = { side: 0.2, end: 0.1 }

const cornersOf = (shape: Shape): Point[] =>
  shape.kind === 'round'
    ? [
        [shape.centre[0] - shape.radius, shape.centre[1] - shape.radius],
        [shape.centre[0] + shape.radius, shape.centre[1] + shape.radius],
      ]
    : shape.quad

/** The smallest upright box around points. */
export function boxAround(points: readonly Point[]): Box {
  const xs = points.map(([x]) => x)
  const ys = points.map(([, y]) => y)
  const x = Math.min(...xs)
  const y = Math.min(...ys)
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y }
}

export const boxOfShape = (shape: Shape): Box => boxAround(cornersOf(shape))

/** The part of a photo that shows everything marked on it with some air; the whole photo when nothing is marked. */
export function frameOf(layout: Layout, photo: { width: number; height: number }): Box {
  const points = [...layout.areas.flatMap((area) => cornersOf(area.shape)), ...(layout.card?.quad ?? [])]
  if (points.length === 0) return { x: 0, y: 0, width: photo.width, height: photo.height }
  const box = boxAround(points)
  const larger = Math.max(box.width, box.height)
  const x = Math.max(0, box.x - larger * air.side)
  const y = Math.max(0, box.y - larger * air.end)
  const right = Math.min(photo.width, box.x + box.width + larger * air.end)
  const bottom = Math.min(photo.height, box.y + box.height + larger * air.end)
  return { x, y, width: right - x, height: bottom - y }
}

/** Corner marks of a quadrilateral as an SVG path: two strokes at each corner, along its sides. */
export function cornerTicks(quad: readonly Point[], length: number): string {
  return quad
    .map((corner, i) => {
      const before = quad[(i + quad.length - 1) % quad.length]!
      const after = quad[(i + 1) % quad.length]!
      return `M${towards(corner, before, length)}L${corner.join(' ')}L${towards(corner, after, length)}`
    })
    .join('')
}

/** A point on the way from one corner to the next, never further than a third of it. */
function towards([x, y]: Point, [toX, toY]: Point, length: number): string {
  const whole = Math.hypot(toX - x, toY - y)
  const share = whole === 0 ? 0 : Math.min(1 / 3, length / whole)
  return `${x + (toX - x) * share} ${y + (toY - y) * share}`
}
