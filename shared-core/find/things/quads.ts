import { isConvex, signedArea } from '../../capture/geometry.ts'
import type { Point, Quad } from '../../records/area.ts'
import { coverage, type EdgeLine } from './lines.ts'

/** Four lines that meet in four corners. */
export type Candidate = { quad: Quad; lines: [number, number, number, number]; cover: number; least: number }

/** Sides meet between these angles in a photo of a rectangle that can still be read (cosine). */
const flattestCorner = Math.cos((48 * Math.PI) / 180)
/** Share of each side that must have edges, and of all four together. */
const leastCover = 0.3
const leastMean = 0.62
const mostCandidates = 6000

type Corner = { point: Point; other: number; t: number }

/**
 * Every quadrilateral that the edges of four lines enclose.
 * @param shortest  of a side, in pixels of the planes
 */
export function quadsOf(lines: EdgeLine[], width: number, height: number, shortest: number): Candidate[] {
  const corners = lines.map((line, i) => cornersOf(lines, line, i, width, height))
  // sides by the two lines that cut them off
  const sides = new Map<number, { line: number; cover: number; from: Corner; to: Corner }[]>()
  corners.forEach((along, line) => {
    for (let a = 0; a < along.length; a++) {
      for (let b = a + 1; b < along.length; b++) {
        const [from, to] = [along[a]!, along[b]!]
        if (to.t - from.t < shortest) continue
        const cover = coverage(lines[line]!, from.t, to.t)
        if (cover < leastCover) continue
        const [low, high] = from.other < to.other ? [from, to] : [to, from]
        const key = low.other * lines.length + high.other
        const known = sides.get(key)
        const side = { line, cover, from: low, to: high }
        if (known) known.push(side)
        else sides.set(key, [side])
      }
    }
  })
  const found: Candidate[] = []
  for (const [key, opposite] of sides) {
    const low = Math.floor(key / lines.length)
    const high = key % lines.length
    for (let i = 0; i < opposite.length; i++) {
      for (let k = i + 1; k < opposite.length; k++) {
        // each quadrilateral is met twice, once by each pair of opposite sides
        const [one, two] = [opposite[i]!, opposite[k]!]
        if (Math.min(one.line, two.line) > low) continue
        const quad = turned([one.from.point, one.to.point, two.to.point, two.from.point])
        if (!quad) continue
        const lowCover = coverBetween(lines[low]!, one.from.point, two.from.point, shortest)
        const highCover = coverBetween(lines[high]!, one.to.point, two.to.point, shortest)
        const least = Math.min(one.cover, two.cover, lowCover, highCover)
        const cover = (one.cover + two.cover + lowCover + highCover) / 4
        if (least < leastCover || cover < leastMean) continue
        found.push({ quad, lines: [one.line, low, two.line, high], cover, least })
      }
    }
  }
  return found.toSorted((a, b) => b.cover - a.cover).slice(0, mostCandidates)
}

/** Where other lines cross this one, near edges of both; in order along it. */
function cornersOf(lines: EdgeLine[], line: EdgeLine, self: number, width: number, height: number): Corner[] {
  const corners: Corner[] = []
  const margin = 0.03 * Math.max(width, height)
  lines.forEach((crossing, other) => {
    if (other === self) return
    const sine = line.nx * crossing.ny - line.ny * crossing.nx
    if (Math.abs(line.nx * crossing.nx + line.ny * crossing.ny) > flattestCorner) return
    const x = (line.rho * crossing.ny - crossing.rho * line.ny) / sine
    const y = (crossing.rho * line.nx - line.rho * crossing.nx) / sine
    if (x < -margin || y < -margin || x > width + margin || y > height + margin) return
    const t = y * line.nx - x * line.ny
    if (!reaches(line, t) || !reaches(crossing, y * crossing.nx - x * crossing.ny)) return
    corners.push({ point: [x, y], other, t })
  })
  return corners.toSorted((a, b) => a.t - b.t)
}

/** A stretch ends at the corner, goes through it, or stops short of it by less than a part of all that is seen of the line. */
const reaches = ({ runs, length }: EdgeLine, t: number) =>
  runs.some(([from, to]) => {
    const spare = 8 + 0.25 * length
    return t > from - spare && t < to + spare
  })

function coverBetween(line: EdgeLine, a: Point, b: Point, shortest: number): number {
  const [ta, tb] = [a[1] * line.nx - a[0] * line.ny, b[1] * line.nx - b[0] * line.ny]
  const [from, to] = ta < tb ? [ta, tb] : [tb, ta]
  return to - from < shortest ? 0 : coverage(line, from, to)
}

/** Clockwise on screen, from the corner nearest to the top left; null when it is no outline of a rectangle. */
export function turned(quad: Quad): Quad | null {
  if (!isConvex(quad)) return null
  const round = signedArea(quad) > 0 ? quad : ([quad[0], quad[3], quad[2], quad[1]] as Quad)
  let first = 0
  for (let i = 1; i < 4; i++) if (round[i]![0] + round[i]![1] < round[first]![0] + round[first]![1]) first = i
  return [0, 1, 2, 3].map((i) => round[(first + i) % 4]!) as Quad
}
