import type { Point } from '../records/area.ts'

/** A picture in shades alone, row by row; its pixel (0, 0) covers the unit square at the origin. */
export type Grey = { readonly width: number; readonly height: number; readonly data: Uint8Array }

/** How far the true edge may run from the drawn one, in degrees. */
const turns = [0, -2, 2, -4, 4, -6, 6]
/** An edge that is roughly known is measured in so many pieces, each this far to both sides, and a line laid through them. */
const pieces = 5
const aside = 3
/** Pixels along an edge that are looked at: more tell an edge from grain, fewer allow for a bent one. */
const longest = 48
const shortest = 8
/**
 * An edge is at least so many shades strong, and so many times what the ground around it shows: of the hundreds of places
 * and turns that are tried, grain alone reaches five times its middle now and then.
 */
const leastStep = 5
const leastOverGround = 7
/** What lies farther off must be so much stronger to be meant. */
const preference = 0.35

type Line = { through: Point; way: Point; offset: number; strength: number }

/**
 * Where the corner lies that somebody put here by eye: both edges that leave it are looked for beside the drawn ones, and
 * the corner is where they meet. With one edge alone it is laid on that edge.
 * @param corner   in the picture's pixels
 * @param towards  the two neighbouring corners of the outline
 * @param reach    how far the corner may be moved, in pixels
 * @returns null where nothing near is plainly an edge
 */
export function snapCorner(
  grey: Grey,
  corner: Point,
  towards: readonly [Point, Point],
  reach: number,
): { point: Point; edges: 1 | 2 } | null {
  const [first, second] = towards.map((other) => edgeBeside(grey, corner, other, reach)) as [Line | null, Line | null]
  const far = (point: Point) => Math.hypot(point[0] - corner[0], point[1] - corner[1]) > reach * 1.5
  if (first && second) {
    const point = meeting(first, second)
    if (point && !far(point)) return { point, edges: 2 }
  }
  const one = first && second ? (first.strength >= second.strength ? first : second) : (first ?? second)
  if (!one) return null
  const point: Point = [corner[0] + normalOf(one.way)[0] * one.offset, corner[1] + normalOf(one.way)[1] * one.offset]
  return { point, edges: 1 }
}

const normalOf = ([x, y]: Point): Point => [-y, x]

/** The strongest edge that runs from about here towards another corner. */
function edgeBeside(grey: Grey, corner: Point, other: Point, reach: number): Line | null {
  const length = Math.hypot(other[0] - corner[0], other[1] - corner[1])
  // what is looked at begins where the edge is sure to be, even if the corner lies farther along
  const from = reach
  const count = Math.min(longest, Math.floor(length * 0.6 - from))
  if (count < shortest) return null
  const drawn = Math.atan2(other[1] - corner[1], other[0] - corner[0])
  let best: (Line & { score: number }) | null = null
  for (const degrees of turns) {
    const turn = drawn + (degrees * Math.PI) / 180
    const way: Point = [Math.cos(turn), Math.sin(turn)]
    const peak = peakAcross(grey, corner, way, from, count, Math.ceil(reach))
    if (!peak) continue
    const score = peak.strength * (1 - (preference * Math.abs(peak.offset)) / Math.max(reach, 1))
    if (best && best.score >= score) continue
    const [nx, ny] = normalOf(way)
    best = { through: [corner[0] + nx * peak.offset, corner[1] + ny * peak.offset], way, ...peak, score }
  }
  return best && measured(grey, best, corner, from, count)
}

/** The line laid through what its pieces show: a turn that was tried is not the edge's own. Null: it is no edge along its length. */
function measured(grey: Grey, line: Line, corner: Point, from: number, count: number): Line | null {
  const long = Math.floor(count / pieces)
  const seen = Array.from({ length: pieces }, (_, i) => {
    const peak = peakAcross(grey, line.through, line.way, from + i * long, long, aside)
    return peak && ([from + (i + 0.5) * long - 0.5, peak.offset] as const)
  }).filter((one) => one !== null)
  if (seen.length < 3) return null
  const mean = (k: 0 | 1) => seen.reduce((sum, one) => sum + one[k], 0) / seen.length
  const [middle, level] = [mean(0), mean(1)]
  const spread = seen.reduce((sum, [t]) => sum + (t - middle) ** 2, 0)
  const slope = seen.reduce((sum, [t, o]) => sum + (t - middle) * (o - level), 0) / spread
  const at = level - slope * middle
  const [nx, ny] = normalOf(line.way)
  const size = Math.hypot(1, slope)
  const way: Point = [(line.way[0] + nx * slope) / size, (line.way[1] + ny * slope) / size]
  const through: Point = [line.through[0] + nx * at, line.through[1] + ny * at]
  const [mx, my] = normalOf(way)
  // how far the corner is from the line that was measured
  const offset = (through[0] - corner[0]) * mx + (through[1] - corner[1]) * my
  return { through, way, offset, strength: line.strength }
}

/** The place across the line where the picture changes most, between pixels; null where it changes as little as anywhere. */
function peakAcross(
  grey: Grey,
  [x, y]: Point,
  way: Point,
  from: number,
  count: number,
  reach: number,
): { offset: number; strength: number } | null {
  const [nx, ny] = normalOf(way)
  const means: number[] = []
  for (let o = -reach - 2; o <= reach + 2; o++) {
    let [sum, seen] = [0, 0]
    for (let i = 0; i < count; i++) {
      const shade = shadeAt(grey, x + way[0] * (from + i) + nx * o, y + way[1] * (from + i) + ny * o)
      if (shade === null) continue
      sum += shade
      seen++
    }
    if (seen < count / 2) means.push(Number.NaN)
    else means.push(sum / seen)
  }
  // from one pixel before to one after: an edge in a picture is about two wide
  const steps = means.slice(2).map((after, i) => Math.abs(after - means[i]!))
  const known = steps.filter((step) => !Number.isNaN(step)).toSorted((a, b) => a - b)
  const ground = known[Math.floor(known.length / 2)] ?? 0
  const enough = Math.max(leastStep, leastOverGround * ground)
  let [at, best] = [-1, 0]
  for (let i = 1; i < steps.length - 1; i++) {
    const step = steps[i]!
    const isPeak = step >= steps[i - 1]! && step >= steps[i + 1]! && step >= enough
    const weighed = step * (1 - (preference * Math.abs(i - reach - 1)) / Math.max(reach, 1))
    if (!isPeak || weighed <= best) continue
    at = i
    best = weighed
  }
  if (at === -1) return null
  const [before, here, after] = [steps[at - 1]!, steps[at]!, steps[at + 1]!]
  const bend = before - 2 * here + after
  const between = bend < 0 ? Math.min(Math.max((0.5 * (before - after)) / bend, -0.5), 0.5) : 0
  return { offset: at - reach - 1 + between, strength: here }
}

/** Bilinear between pixel middles; null outside. */
function shadeAt({ width, height, data }: Grey, x: number, y: number): number | null {
  const [left, top] = [Math.floor(x - 0.5), Math.floor(y - 0.5)]
  if (left < 0 || top < 0 || left + 1 >= width || top + 1 >= height) return null
  const [u, v] = [x - 0.5 - left, y - 0.5 - top]
  const at = top * width + left
  const upper = data[at]! * (1 - u) + data[at + 1]! * u
  const lower = data[at + width]! * (1 - u) + data[at + width + 1]! * u
  return upper * (1 - v) + lower * v
}

/** Where two lines meet; null when they are nearly parallel. */
function meeting(a: Line, b: Line): Point | null {
  const cross = a.way[0] * b.way[1] - a.way[1] * b.way[0]
  if (Math.abs(cross) < 0.2) return null
  const [dx, dy] = [b.through[0] - a.through[0], b.through[1] - a.through[1]]
  const t = (dx * b.way[1] - dy * b.way[0]) / cross
  return [a.through[0] + a.way[0] * t, a.through[1] + a.way[1] * t]
}
