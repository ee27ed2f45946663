import { mapPoint } from '../../capture/geometry.ts'
import { scatterOf } from '../../capture/least-squares.ts'
import type { Pixels, Triple } from '../../capture/pixels.ts'
import type { SheetPage } from '../../capture/sheet/page.ts'
import type { DecodeTables } from '../../colour/profile.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Point, Quad } from '../../records/area.ts'

/** A thing that lies about where a rectangle of the page is: its outline in millimetres of the page. */
export type Outline = {
  quad: Quad
  /** For each side (top, right, bottom, left) the step from what is outside to the thing, in cube roots of light; paper is about 1. */
  steps: [number, number, number, number]
}

export type Reach = { outMm: number; inMm: number }

/** Looked at across a side, millimetres apart. */
const fineMm = 0.2
/** What is compared on both sides of a step. */
const besideMm = 0.8
/** The thing's own colour is looked up so far inside of the farthest line that is tried. */
const insideMm = { from: 1, to: 4 }
/**
 * A thing throws a shadow, whose outer edge is a step too: what lies just inside the right line looks like the thing farther in. How
 * much a difference there counts against a line, in steps.
 */
const unlikeInside = 1.5
/** Along a side: so many places, the ends left out where angles are printed and corners are rounded. */
const places = 48
const endMm = 9
/** Steps between the lines that are tried. */
const coarseMm = 0.4
/** A thing is turned by no more than this (tangent), tried so fine. */
const mostTurn = 0.06
const turnStep = 0.004
/** What is larger than its place by more than this may be a thing with its shadow … */
const tooLargeMm = 0.6
/** … if a weaker step is seen where its own edge would be. */
const leastInnerStep = 0.012

/**
 * Finds the four sides of a flat rectangle that lies nearly in its place: of all lines near each side of the place, all turned alike,
 * those along which the colour changes most, and the same way all along. What glitters, shines or lies about changes it in many ways,
 * which cancel.
 * @param reach  `isSized`: the thing is as large as its place
 */
export function outlineNear(
  pixels: Pixels,
  tables: DecodeTables,
  page: Pick<SheetPage, 'toPhoto'>,
  place: Rect,
  { isSized, ...reach }: Reach & { isSized: boolean },
): Outline {
  const { xMm, yMm, widthMm, heightMm } = place
  const corners: Quad = [
    [xMm, yMm],
    [xMm + widthMm, yMm],
    [xMm + widthMm, yMm + heightMm],
    [xMm, yMm + heightMm],
  ]
  const sides = corners.map((from, i) => sideOf(pixels, tables, page, [from, corners[(i + 1) % 4]!], reach))
  let best = { turn: 0, score: Number.NEGATIVE_INFINITY, lines: [] as Line[] }
  for (let turn = -mostTurn; turn <= mostTurn; turn += turnStep) {
    const lines = sides.map((side) => bestLine(side, turn, -reach.outMm, reach.inMm))
    const score = lines.reduce((sum, line) => sum + line.score, 0)
    if (score > best.score) best = { turn, score, lines }
  }
  const lines = isSized ? withoutShadow(sides, best.lines) : best.lines
  const found = sides.map((side, i) => ({ side, ...finer(side, lines[i]!) }))
  const quad = found.map((side, i) => crossing(found[(i + 3) % 4]!, side)) as Quad
  return { quad, steps: lines.map(({ sum }) => Math.hypot(...sum)) as Outline['steps'] }
}

/** One side of the place, with what is seen across it. */
type Side = {
  from: Point
  along: Point
  inward: Point
  length: number
  outMm: number
  profiles: readonly { along: number; steps: Triple[]; unlike: Triple[] }[]
}

/** A line beside a side: so far inside at its middle, turned; the mean step across it, and how good it is. */
type Line = { at: number; turn: number; sum: Triple; score: number }

function sideOf(
  pixels: Pixels,
  tables: DecodeTables,
  { toPhoto }: Pick<SheetPage, 'toPhoto'>,
  [from, to]: [Point, Point],
  { outMm, inMm }: Reach,
): Side {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  const along: Point = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  // corners run clockwise: the thing lies to the right of a side
  const inward: Point = [-along[1], along[0]]
  const end = Math.min(endMm, length / 6)
  const count = Math.round((outMm + inMm + 2 * besideMm + insideMm.to) / fineMm)
  const first = -outMm - besideMm
  const insideFrom = Math.round((outMm + inMm + besideMm + insideMm.from) / fineMm)
  const profiles = Array.from({ length: places }, (_, n) => {
    const s = end + ((n + 0.5) / places) * (length - 2 * end)
    const light = Array.from({ length: count }, (_one, k) => {
      const t = first + (k + 0.5) * fineMm
      const at: Point = [from[0] + s * along[0] + t * inward[0], from[1] + s * along[1] + t * inward[1]]
      return rootsAt(pixels, tables, mapPoint(toPhoto, at))
    })
    const own = meanOf(light.slice(insideFrom))
    const { steps, after } = stepsOf(light)
    const unlike = after.map(([r, g, b]): Triple => [r - own[0], g - own[1], b - own[2]])
    return { along: s - length / 2, steps, unlike }
  })
  return { from, along, inward, length, outMm, profiles }
}

/** What was seen at a place across a side. */
function seenAt(seen: readonly Triple[], t: number, { outMm }: Side): Triple {
  const k = Math.round((t + outMm) / fineMm)
  return seen[Math.min(seen.length - 1, Math.max(0, k))]!
}

function lineAt(side: Side, at: number, turn: number): Line {
  const sum: Triple = [0, 0, 0]
  const apart: Triple = [0, 0, 0]
  for (const { along, steps, unlike } of side.profiles) {
    const step = seenAt(steps, at + turn * along, side)
    const other = seenAt(unlike, at + turn * along, side)
    for (let c = 0; c < 3; c++) {
      sum[c]! += step[c]! / places
      apart[c]! += other[c]! / places
    }
  }
  return { at, turn, sum, score: Math.hypot(...sum) - unlikeInside * Math.hypot(...apart) }
}

function bestLine(side: Side, turn: number, from: number, to: number): Line {
  let best = lineAt(side, from, turn)
  for (let at = from + coarseMm; at <= to; at += coarseMm) {
    const line = lineAt(side, at, turn)
    if (line.score > best.score) best = line
  }
  return best
}

/**
 * Where a thing seems larger than its place, one of its edges may be that of a shadow of just its own brightness: then its own edge
 * lies as much farther in as it seems too large, and is seen there as a weaker step.
 */
function withoutShadow(sides: readonly Side[], lines: readonly Line[]): Line[] {
  const kept = [...lines]
  for (const [one, other] of [
    [0, 2],
    [1, 3],
  ] as const) {
    const excess = -(kept[one]!.at + kept[other]!.at)
    if (excess < tooLargeMm) continue
    const inner = [one, other].map((i) => {
      const { at, turn } = kept[i]!
      const tries = [-0.4, -0.2, 0, 0.2, 0.4].map((by) => lineAt(sides[i]!, at + excess + by, turn))
      return { i, line: tries.toSorted((a, b) => Math.hypot(...b.sum) - Math.hypot(...a.sum))[0]! }
    })
    const [best] = inner.toSorted((a, b) => Math.hypot(...b.line.sum) - Math.hypot(...a.line.sum))
    if (best && Math.hypot(...best.line.sum) >= leastInnerStep) kept[best.i] = best.line
  }
  return kept
}

/** Cube roots of light, bilinear: about equal steps to the eye. */
export function rootsAt({ data, width, height }: Pixels, tables: DecodeTables, [x, y]: Point): Triple {
  const px = Math.min(width - 1.001, Math.max(0, x - 0.5))
  const py = Math.min(height - 1.001, Math.max(0, y - 0.5))
  const [left, top] = [Math.floor(px), Math.floor(py)]
  const [fx, fy] = [px - left, py - top]
  const a = (top * width + left) * 3
  const of = (c: 0 | 1 | 2) => {
    const table = tables[c]
    const upper = table[data[a + c]!]! * (1 - fx) + table[data[a + 3 + c]!]! * fx
    const under = a + width * 3
    const lower = table[data[under + c]!]! * (1 - fx) + table[data[under + 3 + c]!]! * fx
    return Math.cbrt(upper * (1 - fy) + lower * fy)
  }
  return [of(0), of(1), of(2)]
}

function meanOf(light: readonly Triple[]): Triple {
  const of = (c: 0 | 1 | 2) => light.reduce((sum, one) => sum + one[c], 0) / light.length
  return [of(0), of(1), of(2)]
}

/** For each place along a profile: mean of a little inside, and that less the mean of a little outside. */
function stepsOf(light: readonly Triple[]): { steps: Triple[]; after: Triple[] } {
  const wide = Math.round(besideMm / fineMm)
  const sums: Triple[] = [[0, 0, 0]]
  for (const [r, g, b] of light) {
    const last = sums.at(-1)!
    sums.push([last[0] + r, last[1] + g, last[2] + b])
  }
  const across = (k: number): Triple => {
    const [from, to] = [sums[k]!, sums[k + wide]!]
    return [(to[0] - from[0]) / wide, (to[1] - from[1]) / wide, (to[2] - from[2]) / wide]
  }
  const after = Array.from({ length: light.length - 2 * wide + 1 }, (_, k) => across(k + wide))
  const steps = after.map(([r, g, b], k): Triple => {
    const before = across(k)
    return [r - before[0], g - before[1], b - before[2]]
  })
  return { steps, after }
}

const nearMm = 1

/** The line through the places where the change is greatest near the best line; outliers are left out. */
function finer(side: Side, { at, turn, sum }: Line): { at: number; turn: number } {
  const points = side.profiles.flatMap(({ along, steps }) => {
    const middle = at + turn * along
    const towards = (t: number) => {
      const step = seenAt(steps, t, side)
      return step[0] * sum[0] + step[1] * sum[1] + step[2] * sum[2]
    }
    let [weight, moment] = [0, 0]
    let most = 0
    for (let t = middle - nearMm; t <= middle + nearMm; t += fineMm) most = Math.max(most, towards(t))
    // the middle of the peak's upper half
    for (let t = middle - nearMm; t <= middle + nearMm; t += fineMm) {
      const over = Math.max(0, towards(t) - most / 2)
      weight += over
      moment += over * Math.round(t / fineMm) * fineMm
    }
    return weight > 0 ? [{ along, t: moment / weight }] : []
  })
  let [a, b] = [at, turn]
  let kept = points
  for (let round = 0; round < 4 && kept.length >= 8; round++) {
    const n = kept.length
    const [mx, my] = [kept.reduce((s, p) => s + p.along, 0) / n, kept.reduce((s, p) => s + p.t, 0) / n]
    const [xx, xy] = [
      kept.reduce((s, p) => s + (p.along - mx) ** 2, 0),
      kept.reduce((s, p) => s + (p.along - mx) * (p.t - my), 0),
    ]
    b = xy / Math.max(xx, 1e-9)
    a = my - b * mx
    const left = Float64Array.from(points, (p) => p.t - a - b * p.along)
    const reach = 2.5 * Math.max(scatterOf(left), 0.03)
    kept = points.filter((_p, i) => Math.abs(left[i]!) <= reach)
  }
  return { at: a, turn: b }
}

/** Where two neighbouring sides meet. */
function crossing(one: Found, other: Found): Point {
  const lineOf = ({ side: { from, along, inward, length }, at, turn }: Found) => {
    const middle: Point = [
      from[0] + (length / 2) * along[0] + at * inward[0],
      from[1] + (length / 2) * along[1] + at * inward[1],
    ]
    const way: Point = [along[0] + turn * inward[0], along[1] + turn * inward[1]]
    return { middle, way }
  }
  const [p, q] = [lineOf(one), lineOf(other)]
  const cross = p.way[0] * q.way[1] - p.way[1] * q.way[0]
  const [dx, dy] = [q.middle[0] - p.middle[0], q.middle[1] - p.middle[1]]
  const s = (dx * q.way[1] - dy * q.way[0]) / cross
  return [p.middle[0] + s * p.way[0], p.middle[1] + s * p.way[1]]
}

type Found = { side: Side; at: number; turn: number }
