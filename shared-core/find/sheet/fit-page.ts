import { type Homography, mapPoint } from '../../capture/geometry.ts'
import { equationsOf, leastSquares } from '../../capture/least-squares.ts'
import { invert3 } from '../../colour/matrix.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Point, Quad } from '../../records/area.ts'

/** A corner of a mark on the page, where it is seen, and where it would go if both its edges were seen one pixel further out. */
export type Pair = { page: Point; photo: Point; outwards: Point }

/** From page to photo; by so many pixels all dark edges are seen too far out, as in a blurred photo or where ink has spread. */
export type PageFit = { toPhoto: Homography; spread: number }

/** The four corners of a mark on the page, and where they are seen. */
export function pairsOf({ xMm, yMm, widthMm, heightMm }: Rect, quad: Quad): Pair[] {
  const corners: Quad = [
    [xMm, yMm],
    [xMm + widthMm, yMm],
    [xMm + widthMm, yMm + heightMm],
    [xMm, yMm + heightMm],
  ]
  const normals = quad.map(([x, y], i): Point => {
    const [nextX, nextY] = quad[(i + 1) % 4]!
    const length = Math.hypot(nextX - x, nextY - y)
    return [(nextY - y) / length, -(nextX - x) / length]
  })
  return corners.map((page, i) => {
    const [[ax, ay], [bx, by]] = [normals[(i + 3) % 4]!, normals[i]!]
    const cross = ax * by - ay * bx
    return { page, photo: quad[i]!, outwards: [(by - ay) / cross, (ax - bx) / cross] }
  })
}

/**
 * The map from page to photo that leaves the least squared distances in the photo, and how far out the edges are seen.
 * @param pairs  four or more @returns null where they do not determine one
 */
export function fitPage(pairs: readonly Pair[]): PageFit | null {
  let spread = 0
  for (let round = 0; ; round++) {
    const toPhoto = homographyThrough(pairs, spread)
    if (toPhoto === null || round === rounds) return toPhoto && { toPhoto, spread }
    let [along, whole] = [0, 0]
    for (const pair of pairs) {
      const [u, v] = mapPoint(toPhoto, pair.page)
      const [x, y] = seenAt(pair, spread)
      along += (x - u) * pair.outwards[0] + (y - v) * pair.outwards[1]
      whole += pair.outwards[0] ** 2 + pair.outwards[1] ** 2
    }
    spread += along / whole
  }
}

/** Each takes off most of what the one before left of the spread. */
const rounds = 6

const seenAt = ({ photo, outwards }: Pair, spread: number): Point => [
  photo[0] - spread * outwards[0],
  photo[1] - spread * outwards[1],
]

/** Linear equations, weighted anew by the depth of each point until they say distances in the photo. */
function homographyThrough(pairs: readonly Pair[], spread: number): Homography | null {
  const seen = pairs.map((pair) => seenAt(pair, spread))
  const page = frameOf(pairs.map((pair) => pair.page))
  const photo = frameOf(seen)
  const terms: number[][] = []
  const values: number[] = []
  for (const [n, pair] of pairs.entries()) {
    const [x, y] = into(page, pair.page)
    const [u, v] = into(photo, seen[n]!)
    terms.push([x, y, 1, 0, 0, 0, -x * u, -y * u], [0, 0, 0, x, y, 1, -x * v, -y * v])
    values.push(u, v)
  }
  const equations = equationsOf(terms, values)
  const weights = new Float64Array(values.length).fill(1)
  const none = Array.from({ length: 8 }, () => 0)
  let h: number[] = none
  try {
    for (let round = 0; round < 4; round++) {
      h = leastSquares(equations, weights, none)
      for (const [n, pair] of pairs.entries()) {
        const [x, y] = into(page, pair.page)
        const depth = h[6]! * x + h[7]! * y + 1
        if (!(depth > 0.05)) return null
        weights[2 * n] = depth ** -2
        weights[2 * n + 1] = depth ** -2
      }
    }
  } catch (error) {
    if (error instanceof RangeError) return null
    throw error
  }
  return outOf(page, photo, h)
}

type Frame = { x: number; y: number; scale: number }

function frameOf(points: readonly Point[]): Frame {
  const x = points.reduce((sum, [px]) => sum + px, 0) / points.length
  const y = points.reduce((sum, [, py]) => sum + py, 0) / points.length
  const scale = Math.max(...points.map(([px, py]) => Math.hypot(px - x, py - y)), 1e-9)
  return { x, y, scale }
}
const into = ({ x, y, scale }: Frame, [px, py]: Point): Point => [(px - x) / scale, (py - y) / scale]

/** The same map between the plain coordinates, with 1 as its last entry. */
function outOf(page: Frame, photo: Frame, h: readonly number[]): Homography | null {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, k = 0] = h
  const row = (p: number, q: number, r: number): [number, number, number] => [
    p / page.scale,
    q / page.scale,
    r - (p * page.x + q * page.y) / page.scale,
  ]
  const depth = row(g, k, 1)
  const mixed = (own: [number, number, number], shift: number): number[] =>
    own.map((value, i) => value * photo.scale + depth[i]! * shift)
  const all = [...mixed(row(a, b, c), photo.x), ...mixed(row(d, e, f), photo.y), ...depth]
  const last = all[8]!
  if (!(Math.abs(last) > 1e-9)) return null
  return all.map((value) => value / last) as unknown as Homography
}

/** Root mean square of how far corners lie from where the map says, in millimetres on the page. */
export function awayMm({ toPhoto, spread }: PageFit, pairs: readonly Pair[]): number {
  const back = invert3(toPhoto)
  let sum = 0
  for (const pair of pairs) {
    const [x, y] = mapPoint(back, seenAt(pair, spread))
    sum += (x - pair.page[0]) ** 2 + (y - pair.page[1]) ** 2
  }
  return Math.sqrt(sum / pairs.length)
}
