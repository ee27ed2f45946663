import { signedArea } from '../../../../shared-core/capture/geometry.ts'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'

/**
 * Area that two convex quadrilaterals share, in parts of what they cover together. Cut side by side.
 * Source: I. E. Sutherland, G. W. Hodgman, Commun. ACM 17 (1974) 32–42.
 */
export function intersectionOverUnion(a: Quad, b: Quad): number {
  const clockwise = (quad: Quad): Point[] => (signedArea(quad) < 0 ? quad.toReversed() : [...quad])
  const [one, other] = [clockwise(a), clockwise(b)]
  let left = one
  for (let i = 0; i < 4 && left.length > 0; i++) left = cut(left, other[i]!, other[(i + 1) % 4]!)
  const shared = areaOf(left)
  return shared / (areaOf(one) + areaOf(other) - shared)
}

/** What of a polygon lies to the right of a line, on a screen with y down. */
function cut(polygon: Point[], [ax, ay]: Point, [bx, by]: Point): Point[] {
  const side = ([x, y]: Point): number => (bx - ax) * (y - ay) - (by - ay) * (x - ax)
  return polygon.flatMap((here, i) => {
    const next = polygon[(i + 1) % polygon.length]!
    const [s, t] = [side(here), side(next)]
    const kept: Point[] = s >= 0 ? [here] : []
    if (s >= 0 !== t >= 0) {
      const share = s / (s - t)
      kept.push([here[0] + share * (next[0] - here[0]), here[1] + share * (next[1] - here[1])])
    }
    return kept
  })
}

const areaOf = (polygon: Point[]): number =>
  Math.abs(
    polygon.reduce((sum, [x, y], i) => {
      const [nx, ny] = polygon[(i + 1) % polygon.length]!
      return sum + x * ny - nx * y
    }, 0),
  ) / 2
