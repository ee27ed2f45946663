import type { EdgePoints } from './edges.ts'

/** A straight line on which edges were found: x·nx + y·ny = rho; along it t = y·nx − x·ny. */
export type EdgeLine = {
  nx: number
  ny: number
  rho: number
  /** Stretches with edges, in t, in order. */
  runs: [number, number][]
  /** Of all of them together. */
  length: number
  /** Number of covered whole steps of t before each, from `first`: for coverage of any stretch. */
  covered: Int32Array
  first: number
}

const degree = Math.PI / 180
const angles = 180
/** A weak edge does not know its direction exactly: it votes for the lines within this many degrees. */
const votesEachWay = 5
const mostLines = 180
const mostTries = 500
/** Votes of a line worth looking at, pixels of a stretch worth keeping, gap that still is the same stretch. */
const leastVotes = 5
const leastRun = 12
const mostGap = 10
/** Away from a line (pixels) and turned from it, and yet on it. */
const reach = 1.6
const turnedDegrees = 18

/**
 * Straight edges, the longest first.
 * Source: R. Duda, P. Hart, Communications of the ACM 15 (1972) 11–15, with votes only along each edge's own direction and
 * taken back once a line has been found.
 */
export function linesOf(points: EdgePoints, width: number, height: number): EdgeLine[] {
  const votes = new Votes(points, width, height)
  const lines: EdgeLine[] = []
  const left = leftOf(points)
  for (let tries = 0; tries < mostTries && lines.length < mostLines; tries++) {
    const peak = votes.highest()
    if (peak.votes < leastVotes) break
    const line = fitLine(points, left, peak.angle, peak.rho)
    const on = line ? pointsOn(points, left, line) : []
    const runs = line ? runsOf(points, on, line) : []
    if (!line || runs.length === 0) {
      votes.forget(peak)
      continue
    }
    const length = runs.reduce((sum, [from, to]) => sum + to - from, 0)
    lines.push({ ...line, ...coverOf(points, on, line), runs, length })
    for (const i of on) {
      left.is[i] = 0
      votes.cast(i, -1)
    }
  }
  return lines
}

const asLine = (angle: number, rho: number) => ({ nx: Math.cos(angle), ny: Math.sin(angle), rho })

class Votes {
  readonly points: EdgePoints
  readonly half: number
  readonly across: number
  readonly counts: Float32Array
  /** Highest place of each angle; −1 where votes have changed since. */
  readonly best = new Int32Array(angles).fill(-1)

  constructor(points: EdgePoints, width: number, height: number) {
    this.points = points
    this.half = Math.ceil(Math.hypot(width, height)) + 2
    this.across = 2 * this.half + 1
    this.counts = new Float32Array(angles * this.across)
    for (let i = 0; i < points.count; i++) this.cast(i, 1)
  }

  cast(i: number, by: number): void {
    const { x, y, angle, strength } = this.points
    const middle = Math.round(angle[i]! / degree)
    // what is hardly more than grain counts little, so that the lines of a busy picture are found first; beyond that length counts
    const weight = by * Math.min(1, Math.max(0.15, (strength[i]! - 1.5) / 3.5))
    for (let k = -votesEachWay; k <= votesEachWay; k++) {
      const turn = middle + k
      const row = ((turn % angles) + angles) % angles
      const a = row * degree
      const rho = x[i]! * Math.cos(a) + y[i]! * Math.sin(a) + this.half
      const place = rho | 0
      const f = rho - place
      const at = row * this.across + place
      const share = weight * (1 - Math.abs(k) / (votesEachWay + 3))
      this.counts[at]! += share * (1 - f)
      this.counts[at + 1]! += share * f
      this.best[row] = -1
    }
  }

  highest(): { votes: number; angle: number; rho: number; at: number } {
    let at = 0
    let votes = 0
    for (let row = 0; row < angles; row++) {
      let top = this.best[row]!
      if (top < 0) {
        top = row * this.across
        for (let i = top, end = top + this.across; i < end; i++) if (this.counts[i]! > this.counts[top]!) top = i
        this.best[row] = top
      }
      if (this.counts[top]! > votes) {
        votes = this.counts[top]!
        at = top
      }
    }
    const row = Math.floor(at / this.across)
    return { votes, at, angle: row * degree, rho: at - row * this.across - this.half }
  }

  /** The place and those around it: what they were made of is left to other lines. */
  forget({ at }: { at: number }): void {
    const middle = Math.floor(at / this.across)
    for (let turn = -1; turn <= 1; turn++) {
      const row = (middle + turn + angles) % angles
      const place = row * this.across + (at % this.across)
      this.counts.fill(0, Math.max(row * this.across, place - 1), place + 2)
      this.best[row] = -1
    }
  }
}

type Line = { nx: number; ny: number; rho: number; reach?: number }

/** Which points belong to no line yet; sorted by their direction, in whole degrees. */
type Left = { is: Uint8Array; byDegree: Int32Array[] }

function leftOf({ count, angle }: EdgePoints): Left {
  const lists = Array.from({ length: angles }, (): number[] => [])
  for (let i = 0; i < count; i++) lists[Math.floor(angle[i]! / degree) % angles]!.push(i)
  return { is: new Uint8Array(count).fill(1), byDegree: lists.map((list) => Int32Array.from(list)) }
}

function pointsOn(points: EdgePoints, left: Left, line: Line): number[] {
  const on: number[] = []
  const direction = Math.floor(Math.atan2(line.ny, line.nx) / degree) + 2 * angles
  for (let turn = -turnedDegrees; turn <= turnedDegrees; turn++)
    addOn(points, left.is, left.byDegree[(direction + turn) % angles]!, line, on)
  return on
}

function addOn({ x, y }: EdgePoints, is: Uint8Array, some: Int32Array, line: Line, on: number[]): void {
  const { nx, ny, rho } = line
  const far = line.reach ?? reach
  for (let n = 0; n < some.length; n++) {
    const i = some[n]!
    const off = x[i]! * nx + y[i]! * ny - rho
    if (off <= far && off >= -far && is[i] === 1) on.push(i)
  }
}

/** Total least squares over the points near a line, three times over. */
function fitLine(points: EdgePoints, left: Left, angle: number, rho: number): Line | null {
  let line: Line = asLine(angle, rho)
  for (const far of [2.5, reach, reach]) {
    const on = pointsOn(points, left, { ...line, reach: far })
    if (on.length < leastRun * 0.6) return null
    let sx = 0
    let sy = 0
    let sum = 0
    for (const i of on) {
      const w = Math.min(6, points.strength[i]!)
      sum += w
      sx += w * points.x[i]!
      sy += w * points.y[i]!
    }
    const [mx, my] = [sx / sum, sy / sum]
    let xx = 0
    let yy = 0
    let xy = 0
    for (const i of on) {
      const w = Math.min(6, points.strength[i]!)
      const [dx, dy] = [points.x[i]! - mx, points.y[i]! - my]
      xx += w * dx * dx
      yy += w * dy * dy
      xy += w * dx * dy
    }
    // along the line the points spread most
    const along = 0.5 * Math.atan2(2 * xy, xx - yy)
    const [nx, ny] = [-Math.sin(along), Math.cos(along)]
    const sign = nx * line.nx + ny * line.ny < 0 ? -1 : 1
    line = { nx: sign * nx, ny: sign * ny, rho: sign * (nx * mx + ny * my) }
  }
  return line
}

const alongLine = ({ x, y }: EdgePoints, i: number, { nx, ny }: Line) => y[i]! * nx - x[i]! * ny

function runsOf(points: EdgePoints, on: number[], line: Line): [number, number][] {
  const ts = on.map((i) => alongLine(points, i, line)).toSorted((a, b) => a - b)
  const runs: [number, number][] = []
  let start = 0
  for (let i = 1; i <= ts.length; i++) {
    if (i < ts.length && ts[i]! - ts[i - 1]! <= mostGap) continue
    const [from, to] = [ts[start]!, ts[i - 1]!]
    // crossing edges and grain make thin stretches
    if (to - from >= leastRun && i - start >= 0.5 * (to - from)) runs.push([from, to])
    start = i
  }
  return runs
}

/** A step of t counts as covered when an edge lies within a step and a half of it. */
function coverOf(points: EdgePoints, on: number[], line: Line): Pick<EdgeLine, 'covered' | 'first'> {
  let first = Number.POSITIVE_INFINITY
  let last = Number.NEGATIVE_INFINITY
  for (const i of on) {
    const t = alongLine(points, i, line)
    if (t < first) first = t
    if (t > last) last = t
  }
  first = Math.floor(first) - 2
  const steps = new Uint8Array(Math.ceil(last) - first + 4)
  for (const i of on) {
    const t = Math.floor(alongLine(points, i, line)) - first
    steps[t - 1] = 1
    steps[t] = 1
    steps[t + 1] = 1
  }
  const covered = new Int32Array(steps.length + 1)
  for (let i = 0; i < steps.length; i++) covered[i + 1] = covered[i]! + steps[i]!
  return { covered, first }
}

/** Share of a stretch of a line that has edges. */
export function coverage({ covered, first }: EdgeLine, from: number, to: number): number {
  const place = (t: number) => Math.min(covered.length - 1, Math.max(0, Math.round(t - first)))
  const length = to - from
  return length > 0 ? Math.min(1, (covered[place(to)]! - covered[place(from)]!) / length) : 0
}
