import { signedArea } from '../../capture/geometry.ts'
import type { Point, Quad } from '../../records/area.ts'

/**
 * Area that two convex outlines share, in square pixels.
 * Source: I. Sutherland, G. Hodgman, Communications of the ACM 17 (1974) 32–42: one outline cut by each side of the other.
 */
export function sharedArea(a: Quad, b: Quad): number {
  let points: Point[] = [...a]
  const sign = Math.sign(signedArea(b))
  for (let i = 0; i < 4 && points.length > 0; i++) {
    const from = b[i]!
    const to = b[(i + 1) % 4]!
    const inside = (p: Point) => sign * ((to[0] - from[0]) * (p[1] - from[1]) - (to[1] - from[1]) * (p[0] - from[0]))
    const cut: Point[] = []
    points.forEach((here, n) => {
      const next = points[(n + 1) % points.length]!
      const [u, v] = [inside(here), inside(next)]
      if (u >= 0) cut.push(here)
      if (u >= 0 !== v >= 0) {
        const f = u / (u - v)
        cut.push([here[0] + f * (next[0] - here[0]), here[1] + f * (next[1] - here[1])])
      }
    })
    points = cut
  }
  let twice = 0
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length]!
    twice += p[0] * q[1] - q[0] * p[1]
  })
  return Math.abs(twice) / 2
}

export const areaOf = (quad: Quad): number => Math.abs(signedArea(quad))

/** Shared area over the area of both together: 1 for the same outline, 0 for outlines apart. */
export function overlapOf(a: Quad, b: Quad): number {
  const shared = sharedArea(a, b)
  return shared / (areaOf(a) + areaOf(b) - shared)
}
