import { homographyBetween, mapPoint, unitSquare } from '../../capture/geometry.ts'
import type { Point, Quad } from '../../records/area.ts'
import type { Gradient } from './edges.ts'
import type { EdgeLine } from './lines.ts'
import { areaOf, overlapOf, sharedArea } from './overlap.ts'
import { type Planes, valueAt } from './planes.ts'
import { type Candidate, quadsOf } from './quads.ts'
import { apart, type Colour, colourAt, medianColour, medianOf, type Side, sidesSeen } from './sides.ts'

/** An outline whose four sides were seen, with what lies in it. */
export type Rectangle = {
  quad: Quad
  sides: Side[]
  /** Mean share of the sides that edges cover. */
  cover: number
  /** 0 to 1: how well its four sides are seen and how much they are a rectangle's. */
  quality: number
  colour: Colour
  /** Median distance from that colour inside, in numbers of the picture; and how rough it is from pixel to pixel. */
  spread: number
  rough: number
  /** Area over that of the picture. */
  part: number
  /** It holds other rectangles: paper or a bench that they lie on. */
  holds: number
}

/** Shortest side, as a part of the picture's longer side; least quality that is looked at further. */
const shortestSide = 0.035
const leastQuality = 0.5
const mostMeasured = 300
/** Outlines this much alike are one. */
const alike = 0.8

/** One way of looking at a picture: its edges at one scale. */
export type Scale = {
  planes: Planes
  gradient: Gradient
  lines: EdgeLine[] /** Handicap of what was seen less sharply. */
  less: number
}

/** @param scales  the sharpest first: colours are taken from it, and all that is returned is in its pixels */
export function rectanglesOf(scales: [Scale, ...Scale[]]): Rectangle[] {
  const [sharpest] = scales
  const measured = scales
    .flatMap((scale) => {
      const { width, height } = scale.planes
      const candidates = quadsOf(scale.lines, width, height, shortestSide * Math.max(width, height))
      return distinct(candidates, 0.93, mostMeasured).map((candidate) => measure(scale, sharpest, candidate))
    })
    .filter(({ quality }) => quality >= leastQuality)
    .toSorted((a, b) => rank(b) - rank(a))
  const kept: Rectangle[] = []
  for (const one of measured) if (!kept.some(({ quad }) => overlapOf(quad, one.quad) > alike)) kept.push(one)
  return untangled(sharpest.planes, kept.slice(0, 60))
}

/** Of outlines that are nearly the same the best covered is enough. */
function distinct(candidates: Candidate[], same: number, most: number): Candidate[] {
  const kept: Candidate[] = []
  for (const one of candidates) {
    if (kept.length >= most) break
    const corner = one.quad[0]
    const near = (other: Candidate) =>
      Math.abs(other.quad[0][0] - corner[0]) < 6 &&
      Math.abs(other.quad[0][1] - corner[1]) < 6 &&
      Math.abs(other.quad[2][0] - one.quad[2][0]) < 6 &&
      overlapOf(other.quad, one.quad) > same
    if (!kept.some(near)) kept.push(one)
  }
  return kept
}

/** Of two outlines of one thing the larger is the thing, where both are seen as well. */
const rank = ({ quality, part }: Rectangle) => quality + 0.03 * Math.log(part)

export function measure({ planes, gradient, less }: Scale, sharpest: Scale, { quad, cover }: Candidate): Rectangle {
  const sides = sidesSeen(planes, gradient, quad)
  const each = sides.map(({ share, soft }) => share * Math.min(1, Math.max(0, (3 - soft) / 1.2)))
  const mean = each.reduce((a, b) => a + b, 0) / 4
  const quality = (0.6 * mean + 0.2 * Math.min(...each) + 0.2 * cover) * squareness(quad) - less
  const part = areaOf(quad) / (planes.width * planes.height)
  const by = planes.scale / sharpest.planes.scale
  const own = quad.map(([x, y]): Point => [x * by, y * by]) as Quad
  return { quad: own, sides, cover, quality, part, holds: 0, ...inside(sharpest, own) }
}

/** 1 for right angles and equal opposite sides, as far as a tilted camera leaves them so. */
export function squareness(quad: Quad): number {
  let worst = 0
  const lengths: number[] = []
  for (let i = 0; i < 4; i++) {
    const [a, b, c] = [quad[i]!, quad[(i + 1) % 4]!, quad[(i + 2) % 4]!]
    const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]]
    lengths.push(Math.hypot(ux, uy))
    const cosine = (ux * vx + uy * vy) / (Math.hypot(ux, uy) * Math.hypot(vx, vy))
    worst = Math.max(worst, Math.abs((Math.asin(Math.max(-1, Math.min(1, cosine))) * 180) / Math.PI))
  }
  const [top, right, bottom, left] = lengths as [number, number, number, number]
  const uneven = Math.max(top / bottom, bottom / top, left / right, right / left)
  return Math.max(0, Math.min(1, (42 - worst) / 28)) * Math.max(0, Math.min(1, (2.2 - uneven) / 0.8))
}

const grid = Array.from({ length: 10 }, (_, i) => 0.08 + (0.84 * i) / 9)

function inside({ planes, gradient }: Scale, quad: Quad): Pick<Rectangle, 'colour' | 'spread' | 'rough'> {
  const toPlanes = homographyBetween(unitSquare, quad)
  const places = grid.flatMap((v) => grid.map((u) => mapPoint(toPlanes, [u, v])))
  const colours = places.map(([x, y]) => colourAt(planes, x, y))
  const colour = medianColour(colours)
  return {
    colour,
    spread: medianOf(colours.map((one) => apart(one, colour))),
    rough: medianOf(places.map(([x, y]) => valueAt(gradient.size, planes.width, planes.height, x, y))),
  }
}

/**
 * Rectangles that overlap: strips of a taped panel belong to it; two panels in a row are no long one; what holds others well
 * inside is what they lie on; of any two others that cross, the better seen stays.
 */
function untangled(planes: Planes, all: Rectangle[]): Rectangle[] {
  const gone = new Set<Rectangle>()
  const bySize = all.toSorted((a, b) => b.part - a.part)
  bySize.forEach((large, i) => {
    if (gone.has(large)) return
    const within = bySize.slice(i + 1).filter((one) => !gone.has(one) && inIt(one.quad, large.quad) > 0.88)
    const parts = within.map((one) => ({ one, shared: sidesShared(one.quad, large.quad) }))
    const strips = parts.filter(({ shared }) => shared.length >= 2)
    if (strips.some(({ one, shared }) => standsAlone(planes, one, shared))) {
      gone.add(large)
      return
    }
    for (const { one } of strips) gone.add(one)
    const held = parts.filter(({ shared, one }) => shared.length < 2 && one.quality > 0.7)
    const heldArea = held.reduce((sum, { one }) => Math.max(sum, one.part), 0)
    large.holds = heldArea / large.part
    // a reflection or a mark on a panel is part of it; paper is what panels lie on
    for (const { one, shared } of parts) if (shared.length < 2 && one.part < 0.12 * large.part) gone.add(one)
  })
  const kept: Rectangle[] = []
  for (const one of all) {
    if (gone.has(one)) continue
    const crosses = kept.some(
      (other) =>
        inIt(one.quad, other.quad) < 0.88 &&
        inIt(other.quad, one.quad) < 0.88 &&
        sharedArea(one.quad, other.quad) > 0.12 * Math.min(areaOf(one.quad), areaOf(other.quad)),
    )
    if (!crosses) kept.push(one)
  }
  return kept
}

const inIt = (small: Quad, large: Quad) => sharedArea(small, large) / areaOf(small)

/** Sides of the small outline that lie on sides of the large one: their numbers. */
function sidesShared(small: Quad, large: Quad): number[] {
  const tolerance = 3 + 0.012 * Math.sqrt(areaOf(large))
  return [0, 1, 2, 3].filter((i) => {
    const [a, b] = [small[i]!, small[(i + 1) % 4]!]
    return [0, 1, 2, 3].some((k) => {
      const [c, d] = [large[k]!, large[(k + 1) % 4]!]
      const length = Math.hypot(d[0] - c[0], d[1] - c[1])
      const off = (p: readonly [number, number]) =>
        Math.abs((d[0] - c[0]) * (p[1] - c[1]) - (d[1] - c[1]) * (p[0] - c[0])) / length
      return off(a) < tolerance && off(b) < tolerance
    })
  })
}

/**
 * Beyond one of its own free sides lies the same as beyond those that it shares, or the sides that it shares end there: ground, not
 * another strip, and no reflection across a panel.
 */
function standsAlone(planes: Planes, one: Rectangle, shared: number[]): boolean {
  const free = [0, 1, 2, 3].filter((i) => !shared.includes(i))
  if (free.length === 0 || one.quality < 0.7) return false
  // red, green, blue: not every scale has the roughness
  const seen = (colour: Colour) => colour.slice(0, 3)
  const ground = medianColour(shared.map((i) => seen(one.sides[i]!.outside)))
  return free.some((i) => {
    const { outside, inside: own, step } = one.sides[i]!
    if (apart(seen(outside), ground) < 0.15 * Math.max(apart(seen(own), ground), step) + 3) return true
    const goingOn = [(i + 3) % 4, (i + 1) % 4].filter((side) => shared.includes(side))
    return goingOn.length > 0 && goingOn.every((side) => endsAt(planes, one, side, i))
  })
}

/** Just beyond the corner with a free side, a shared side is no edge any more. */
function endsAt(planes: Planes, { quad, sides }: Rectangle, side: number, free: number): boolean {
  const [a, b] = [quad[side]!, quad[(side + 1) % 4]!]
  const [from, corner] = side === (free + 1) % 4 ? [b, a] : [a, b]
  const length = Math.hypot(corner[0] - from[0], corner[1] - from[1])
  const [ux, uy] = [(corner[0] - from[0]) / length, (corner[1] - from[1]) / length]
  const changes = beyond.map((d) => {
    const [x, y] = [corner[0] + d * ux, corner[1] + d * uy]
    return apart(colourAt(planes, x - across * uy, y + across * ux), colourAt(planes, x + across * uy, y - across * ux))
  })
  return medianOf(changes) < 0.3 * sides[side]!.step
}

/** Pixels beyond a corner, and to each side of the line. */
const beyond = [3, 4, 5, 6]
const across = 2.5
