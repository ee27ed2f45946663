import { isConvex } from '../../capture/geometry.ts'
import { fullOf, type Pixels } from '../../capture/pixels.ts'
import type { Point, Quad } from '../../records/area.ts'
import { overlapOf } from './overlap.ts'
import { centreOf } from './sides.ts'

const samples = 64
const cornersLeftOut = 0.06

/**
 * Moves the sides of an outline onto the edges nearest to them, to a fraction of a pixel.
 * @param reach  how far from each side edges are looked for, in pixels of the picture
 * @returns the outline as it was, where edges do not bear it out
 */
export function refineQuad(picture: Pixels, quad: Quad, reach: number): Quad {
  const middle = centreOf(quad)
  const lines = [0, 1, 2, 3].map((i) => sideLine(picture, quad[i]!, quad[(i + 1) % 4]!, middle, reach))
  const corners: Point[] = []
  for (let i = 0; i < 4; i++) {
    const corner = crossing(lines[(i + 3) % 4]!, lines[i]!)
    if (!corner || Math.hypot(corner[0] - quad[i]![0], corner[1] - quad[i]![1]) > 3 * reach) return quad
    corners.push(corner)
  }
  const moved = corners as Quad
  return isConvex(moved) && overlapOf(moved, quad) > 0.8 ? moved : quad
}

type Line = { point: Point; along: Point }

function crossing(a: Line, b: Line): Point | null {
  const across = a.along[0] * b.along[1] - a.along[1] * b.along[0]
  if (Math.abs(across) < 0.2) return null
  const t = ((b.point[0] - a.point[0]) * b.along[1] - (b.point[1] - a.point[1]) * b.along[0]) / across
  return [a.point[0] + t * a.along[0], a.point[1] + t * a.along[1]]
}

function sideLine(picture: Pixels, a: Point, b: Point, middle: Point, reach: number): Line {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1])
  const along: Point = [(b[0] - a[0]) / length, (b[1] - a[1]) / length]
  let normal: Point = [-along[1], along[0]]
  if (normal[0] * (middle[0] - a[0]) + normal[1] * (middle[1] - a[1]) < 0) normal = [along[1], -along[0]]
  const found: { t: number; off: number; weight: number }[] = []
  for (let n = 0; n < samples; n++) {
    const t = length * (cornersLeftOut + ((1 - 2 * cornersLeftOut) * (n + 0.5)) / samples)
    const place: Point = [a[0] + t * along[0], a[1] + t * along[1]]
    const edge = steepest(picture, place, normal, along, reach)
    if (edge) found.push({ t, ...edge })
  }
  return fitted(found, a, along, normal)
}

/** Place of the steepest change along the normal; the profile is averaged over three neighbours along the side. */
function steepest(picture: Pixels, [x, y]: Point, normal: Point, along: Point, reach: number) {
  const half = Math.ceil(reach)
  const profile: [number, number, number][] = []
  for (let d = -half - 1; d <= half + 1; d++) {
    const sum: [number, number, number] = [0, 0, 0]
    for (const s of [-1.5, 0, 1.5])
      addAt(picture, x + d * normal[0] + s * along[0], y + d * normal[1] + s * along[1], sum)
    profile.push(sum)
  }
  const slope = (i: number) => {
    const [p, q] = [profile[i - 1]!, profile[i + 1]!]
    return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2])
  }
  const slopes = profile.map((_, i) => (i === 0 || i === profile.length - 1 ? 0 : slope(i)))
  // of like edges the nearer one
  const pull = (i: number) => slopes[i]! * (1 - (0.25 * Math.abs(i - half - 1)) / (half + 1))
  let best = 1
  let sum = 0
  for (let i = 1; i + 1 < profile.length; i++) {
    sum += slopes[i]!
    if (pull(i) > pull(best)) best = i
  }
  const mean = sum / (profile.length - 2)
  if (slopes[best]! < 2 || slopes[best]! < 1.4 * mean) return null
  // centre of weight of the steep stretch
  let weights = 0
  let moment = 0
  for (let i = Math.max(1, best - 2); i <= Math.min(profile.length - 2, best + 2); i++) {
    const w = Math.max(0, slopes[i]! - 0.3 * slopes[best]!)
    weights += w
    moment += w * (i - half - 1)
  }
  return { off: moment / weights, weight: Math.min(60, slopes[best]!) }
}

function addAt(picture: Pixels, x: number, y: number, sum: [number, number, number]): void {
  const { width, height, data } = picture
  const px = Math.min(width - 1.001, Math.max(0, x - 0.5))
  const py = Math.min(height - 1.001, Math.max(0, y - 0.5))
  const left = Math.max(0, Math.floor(px))
  const top = Math.max(0, Math.floor(py))
  const [fx, fy] = [px - left, py - top]
  const right = Math.min(width - 1, left + 1)
  const below = Math.min(height - 1, top + 1)
  const unit = 255 / fullOf(picture)
  for (let c = 0; c < 3; c++) {
    const upper = data[(top * width + left) * 3 + c]! * (1 - fx) + data[(top * width + right) * 3 + c]! * fx
    const lower = data[(below * width + left) * 3 + c]! * (1 - fx) + data[(below * width + right) * 3 + c]! * fx
    sum[c]! += (unit * (upper * (1 - fy) + lower * fy)) / 3
  }
}

/** A line through the edges, however many of them belong to something else: weighted, with those far off left out. */
function fitted(found: { t: number; off: number; weight: number }[], a: Point, along: Point, normal: Point): Line {
  let slope = 0
  let shift = 0
  let rest = found
  for (let round = 0; round < 4; round++) {
    if (rest.length < samples / 5) {
      slope = 0
      shift = 0
      break
    }
    const sum = rest.reduce((s, { weight }) => s + weight, 0)
    const meanT = rest.reduce((s, { t, weight }) => s + weight * t, 0) / sum
    const offs = rest.map(({ off }) => off).toSorted((p, q) => p - q)
    const meanOff =
      round === 0 ? offs[offs.length >> 1]! : rest.reduce((s, { off, weight }) => s + weight * off, 0) / sum
    const tt = rest.reduce((s, { t, weight }) => s + weight * (t - meanT) ** 2, 0)
    const to = rest.reduce((s, { t, off, weight }) => s + weight * (t - meanT) * (off - meanOff), 0)
    slope = round === 0 ? 0 : to / Math.max(tt, 1e-9)
    shift = meanOff - slope * meanT
    const tolerance = [4, 2.5, 1.5, 1.5][round]!
    rest = found.filter(({ t, off }) => Math.abs(off - shift - slope * t) < tolerance)
  }
  return {
    point: [a[0] + shift * normal[0], a[1] + shift * normal[1]],
    along: [along[0] + slope * normal[0], along[1] + slope * normal[1]],
  }
}
