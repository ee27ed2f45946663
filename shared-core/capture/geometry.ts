import type { Point, Quad, Shape } from '../records/area.ts'

/** A projective map of the plane, row by row; the last entry is 1 for every map made here. */
export type Homography = readonly [number, number, number, number, number, number, number, number, number]

/** A rectangle of whole pixels: `left` and `top` are included, `left + width` and `top + height` are not. */
export type PixelBox = { left: number; top: number; width: number; height: number }

export const unitSquare: Quad = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 1],
]

/** Where a homography takes a point. */
export function mapPoint(h: Homography, [x, y]: Point): Point {
  const w = h[6] * x + h[7] * y + h[8]
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w]
}

/**
 * The homography that takes four points to four others, in order.
 * @throws  RangeError when three of the corners lie on one line
 * Source: P. Heckbert, Fundamentals of Texture Mapping and Image Warping (1989), section 2.2.3: the eight linear equations.
 */
export function homographyBetween(from: Quad, to: Quad): Homography {
  const rows: number[][] = []
  from.forEach(([x, y], i) => {
    const [u, v] = to[i] as Point
    rows.push([x, y, 1, 0, 0, 0, -x * u, -y * u, u], [0, 0, 0, x, y, 1, -x * v, -y * v, v])
  })
  const h = solveLinear(rows)
  return [h[0]!, h[1]!, h[2]!, h[3]!, h[4]!, h[5]!, h[6]!, h[7]!, 1]
}

/** Gaussian elimination with pivoting; each row holds its coefficients and the right side last. */
export function solveLinear(rows: number[][]): number[] {
  const n = rows.length
  const scale = Math.max(...rows.flat().map(Math.abs))
  for (let c = 0; c < n; c++) {
    let pivot = c
    for (let r = c + 1; r < n; r++) if (Math.abs(rows[r]![c]!) > Math.abs(rows[pivot]![c]!)) pivot = r
    if (Math.abs(rows[pivot]![c]!) <= 1e-14 * scale) throw new RangeError('The equations have no single solution.')
    const top = rows[pivot]!
    rows[pivot] = rows[c]!
    rows[c] = top
    for (let r = 0; r < n; r++) {
      if (r === c) continue
      const factor = rows[r]![c]! / top[c]!
      if (factor === 0) continue
      for (let k = c; k <= n; k++) rows[r]![k]! -= factor * top[k]!
    }
  }
  return rows.map((row, i) => row[n]! / row[i]!)
}

/** Area in square pixels, positive for corners that run clockwise on screen. */
export function signedArea(quad: Quad): number {
  let twice = 0
  for (let i = 0; i < 4; i++) {
    const here = quad[i]!
    const next = quad[(i + 1) % 4]!
    twice += here[0] * next[1] - next[0] * here[1]
  }
  return twice / 2
}

/** Corners further away than this are no mark on a photo: the largest has 200 million pixels. */
const farthest = 1_000_000
/** Sides shorter than this (pixels), and corners flatter than this (sine of their angle), leave no place between them. */
const shortest = 0.01
const flattest = 1e-4

/**
 * Whether the outline is convex and does not cross itself: only then does it stand for a flat rectangle. One that is all but a
 * line, or reaches beyond any photo, stands for none either; those that pass have a homography.
 */
export function isConvex(quad: Quad): boolean {
  let sign = 0
  for (let i = 0; i < 4; i++) {
    const [ax, ay] = quad[i] as Point
    const [bx, by] = quad[(i + 1) % 4] as Point
    const [cx, cy] = quad[(i + 2) % 4] as Point
    if (!(Math.abs(ax) <= farthest && Math.abs(ay) <= farthest)) return false
    const [before, after] = [Math.hypot(bx - ax, by - ay), Math.hypot(cx - bx, cy - by)]
    const turn = (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
    if (!(before >= shortest && Math.abs(turn) >= flattest * before * after)) return false
    if (sign !== 0 && Math.sign(turn) !== sign) return false
    sign = Math.sign(turn)
  }
  return true
}

/** Whether a point lies in a convex quadrilateral, its edge included; either sense of turning. */
export function pointInQuad([x, y]: Point, quad: Quad): boolean {
  const turn = Math.sign(signedArea(quad))
  for (let i = 0; i < 4; i++) {
    const a = quad[i]!
    const b = quad[(i + 1) % 4]!
    if (!(turn * ((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])) >= 0)) return false
  }
  return true
}

/** The quadrilateral with a margin taken off on each side, as a fraction of the side, in the object's own perspective. */
export function shrinkQuad(quad: Quad, margin: number): Quad {
  const h = homographyBetween(unitSquare, quad)
  const near = margin
  const far = 1 - margin
  return [mapPoint(h, [near, near]), mapPoint(h, [far, near]), mapPoint(h, [far, far]), mapPoint(h, [near, far])]
}

/** Where the diagonals cross: the middle of the flat thing that the quadrilateral shows. */
export const middleOf = (quad: Quad): Point => mapPoint(homographyBetween(unitSquare, quad), [0.5, 0.5])

/** Mean lengths of the two pairs of opposite sides: how wide and how tall the quadrilateral is on screen. */
export function sidesOf(quad: Quad): { width: number; height: number } {
  const length = (i: number, j: number) => Math.hypot(quad[i]![0] - quad[j]![0], quad[i]![1] - quad[j]![1])
  return { width: (length(0, 1) + length(3, 2)) / 2, height: (length(0, 3) + length(1, 2)) / 2 }
}

/** The square around a round area; other shapes give their own outline. */
export function outlineOf(shape: Shape): Quad {
  if (shape.kind !== 'round') return shape.quad
  const [x, y] = shape.centre
  const r = shape.radius
  return [
    [x - r, y - r],
    [x + r, y - r],
    [x + r, y + r],
    [x - r, y + r],
  ]
}

/** Whole pixels around some points, widened by `pad` and cut to a photo of the given size; null when none is left. */
export function boxAround(points: Point[], pad: number, photo: { width: number; height: number }): PixelBox | null {
  const xs = points.map(([x]) => x)
  const ys = points.map(([, y]) => y)
  const left = Math.max(0, Math.floor(Math.min(...xs) - pad))
  const top = Math.max(0, Math.floor(Math.min(...ys) - pad))
  const right = Math.min(photo.width, Math.ceil(Math.max(...xs) + pad))
  const bottom = Math.min(photo.height, Math.ceil(Math.max(...ys) + pad))
  return right > left && bottom > top ? { left, top, width: right - left, height: bottom - top } : null
}

/** A layout's shape moved by an offset, for pixels that were cut out of a photo. */
export function moveQuad(quad: Quad, dx: number, dy: number): Quad {
  const move = ([x, y]: Point): Point => [x + dx, y + dy]
  return [move(quad[0]), move(quad[1]), move(quad[2]), move(quad[3])]
}
