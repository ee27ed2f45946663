import { quadOf, type Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { homographyBetween, mapPoint, shrinkQuad, unitSquare } from '../../../../shared-core/capture/geometry.ts'
import type { Matrix3 } from '../../../../shared-core/colour/matrix.ts'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'

/** What has to lie in the picture, along its long side in this order. */
export type Piece = { name: string; along: number; across: number }

/**
 * Lays pieces side by side along the long side of the bench, with gaps, a little out of line.
 * @returns  a rectangle per piece in the picture's millimetres; `portrait` swaps the axes
 */
export function layOut(random: Random, pieces: Piece[], longMm: number, portrait: boolean): Rectangle[] {
  const turn = random.between(-0.05, 0.05)
  const gaps = pieces.map(() => random.between(5, 16))
  const total = pieces.reduce((sum, piece, i) => sum + piece.along + (i > 0 ? gaps[i]! : 0), 0)
  const slack = Math.max(0, (longMm - total) / 2 - 12)
  let at = -total / 2 + random.between(-slack, slack)
  const line = random.between(-25, 25)
  return pieces.map((piece, i) => {
    if (i > 0) at += gaps[i]!
    const [x, y] = [at + piece.along / 2, line + random.between(-15, 15)]
    at += piece.along
    const own = turn + random.between(-0.02, 0.02)
    return portrait
      ? { xMm: -y, yMm: x, turn: own, widthMm: piece.across, heightMm: piece.along }
      : { xMm: x, yMm: y, turn: own, widthMm: piece.along, heightMm: piece.across }
  })
}

/** Corners on the photo, the one nearest the top left first. */
export function cornersOf(toPhoto: Matrix3, on: Rectangle): Quad {
  const quad = quadOf(toPhoto, on)
  const start = quad.reduce((best, [x, y], i) => (x + y < quad[best]![0] + quad[best]![1] ? i : best), 0)
  return [0, 1, 2, 3].map((i) => quad[(start + i) % 4]!) as Quad
}

/** What a user marks on a thing: well inside its edges, mostly a rectangle that was dragged, or its four corners drawn in. */
export function markOn(random: Random, quad: Quad): Quad {
  if (random.chance(0.4)) return shrinkQuad(quad, random.between(0.05, 0.12))
  const left = Math.max(quad[0][0], quad[3][0])
  const right = Math.min(quad[1][0], quad[2][0])
  const top = Math.max(quad[0][1], quad[1][1])
  const bottom = Math.min(quad[2][1], quad[3][1])
  const [w, h] = [right - left, bottom - top]
  const cut = () => random.between(0.02, 0.13)
  return rectangle(left + cut() * w, top + cut() * h, right - cut() * w, bottom - cut() * h)
}

export const rectangle = (left: number, top: number, right: number, bottom: number): Quad => [
  [left, top],
  [right, top],
  [right, bottom],
  [left, bottom],
]

/** A hand does not hit a chart's corners exactly. */
export const shaken = (random: Random, quad: Quad, pixels: number): Quad =>
  quad.map(([x, y]): Point => [x + pixels * random.normal(), y + pixels * random.normal()]) as Quad

/** Points spread evenly over a quadrilateral. */
export function pointsIn(quad: Quad, perSide = 7): Point[] {
  const h = homographyBetween(unitSquare, quad)
  return Array.from({ length: perSide * perSide }, (_, i) =>
    mapPoint(h, [((i % perSide) + 0.5) / perSide, (Math.floor(i / perSide) + 0.5) / perSide]),
  )
}
