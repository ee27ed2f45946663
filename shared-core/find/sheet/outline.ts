import type { Point, Quad } from '../../records/area.ts'
import type { DarkPlace } from './dark-places.ts'

/** The quadrilateral has to cover this much of what it is drawn around, or it is drawn around something else. */
const leastCover = 0.86
const mostCover = 1.02

/** A rough quadrilateral around a dark place, clockwise on screen; null where it is not four-cornered. */
export function outlineOf(place: DarkPlace): Quad | null {
  const hull = hullOf(place)
  const whole = areaOf(hull)
  let [first, second, longest] = [0, 0, -1]
  for (let i = 0; i < hull.length; i++) {
    for (let j = i + 1; j < hull.length; j++) {
      const length = (hull[i]![0] - hull[j]![0]) ** 2 + (hull[i]![1] - hull[j]![1]) ** 2
      if (length > longest) [first, second, longest] = [i, j, length]
    }
  }
  const [a, c] = [hull[first]!, hull[second]!]
  if (!a || !c) return null
  const away = ([x, y]: Point): number => (c[0] - a[0]) * (y - a[1]) - (c[1] - a[1]) * (x - a[0])
  const between = hull.slice(first + 1, second)
  const beyond = [...hull.slice(second + 1), ...hull.slice(0, first)]
  const farthest = (points: Point[]): Point | undefined =>
    points.toSorted((p, q) => Math.abs(away(q)) - Math.abs(away(p)))[0]
  const [b, d] = [farthest(between), farthest(beyond)]
  if (!b || !d) return null
  const quad: Quad = [a, b, c, d]
  const cover = areaOf(quad) / whole
  return cover >= leastCover && cover <= mostCover ? quad : null
}

/** Clockwise on screen. Andrew's monotone chain over the rows: what lies between the ends of a row cannot be a corner. */
function hullOf({ runs, top, bottom }: DarkPlace): Point[] {
  const rows = bottom - top + 1
  const least = new Float64Array(rows).fill(Number.POSITIVE_INFINITY)
  const most = new Float64Array(rows).fill(Number.NEGATIVE_INFINITY)
  for (let i = 0; i < runs.length; i += 3) {
    for (let edge = 0; edge < 2; edge++) {
      const row = runs[i + 2]! - top + edge
      least[row] = Math.min(least[row]!, runs[i]!)
      most[row] = Math.max(most[row]!, runs[i + 1]!)
    }
  }
  const side = (ends: Float64Array, outwards: 1 | -1): Point[] => {
    const chain: Point[] = []
    for (let row = 0; row < rows; row++) {
      const here: Point = [ends[row]!, row + top]
      for (;;) {
        const [a, b] = [chain.at(-2), chain.at(-1)]
        if (!a || !b) break
        const turn = (b[0] - a[0]) * (here[1] - a[1]) - (b[1] - a[1]) * (here[0] - a[0])
        if (turn * outwards > 0) break
        chain.pop()
      }
      chain.push(here)
    }
    return chain
  }
  const right = side(most, 1)
  const left = side(least, -1)
  return [...right, ...left.toReversed()]
}

function areaOf(points: readonly Point[]): number {
  let twice = 0
  for (const [i, [x, y]] of points.entries()) {
    const [nextX, nextY] = points[(i + 1) % points.length]!
    twice += x * nextY - nextX * y
  }
  return twice / 2
}
