import type { Point } from '../../../../shared-core/records/area.ts'

const names = ['Top left', 'Top right', 'Bottom right', 'Bottom left'] as const
export type CornerName = (typeof names)[number]
const outward: readonly Point[] = [
  [-1, -1],
  [1, -1],
  [1, 1],
  [-1, 1],
]

/** Where the corners of an outline lie as one sees them, whatever way the panel was turned as it was marked. */
export function cornerNamesOf(quad: readonly Point[]): CornerName[] {
  const middle = (axis: 0 | 1) => quad.reduce((sum, point) => sum + point[axis], 0) / quad.length
  const [x, y] = [middle(0), middle(1)]
  const away = quad.map(([cx, cy]): Point => {
    const length = Math.hypot(cx - x, cy - y) || 1
    return [(cx - x) / length, (cy - y) / length]
  })
  // every name once: the way round that suits all four best
  const ways = [1, -1].flatMap((way) => [0, 1, 2, 3].map((first) => away.map((_, i) => (first + way * i + 4) % 4)))
  const fit = (way: readonly number[]) =>
    way.reduce((sum, at, i) => sum + away[i]![0] * outward[at]![0] + away[i]![1] * outward[at]![1], 0)
  return ways.reduce((best, way) => (fit(way) > fit(best) + 1e-9 ? way : best)).map((at) => names[at]!)
}
