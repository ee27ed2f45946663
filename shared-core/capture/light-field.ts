import type { Point, Quad } from '../records/area.ts'
import { type Camera, undoTone } from './camera/model.ts'
import { isConvex, pointInQuad, shrinkQuad, solveLinear } from './geometry.ts'
import { quantile } from './statistics.ts'
import type { Survey } from './surroundings.ts'

/** How the light falls off over a bench top or sheet that is of one colour all around panel and card. */
export type LightField = {
  /** Natural logarithm of the light at a place of the photo against its middle; pixels. */
  at: (place: Point) => number
}

/** Fewer blocks of 28 × 28, or blocks that scatter more, are no one surface: nothing is taken from them. */
const leastBlocks = 200
const mostScatter = 0.006
const leastFollowing = 0.85
const terms = 6
const rounds = 12

/**
 * The light's slope and bend over the surroundings, where these are one even surface.
 * Method: logarithm of the blocks' light, tone curve undone, as a polynomial of the second degree in place; other things on the surface
 * are left out by Tukey's biweight.
 * @returns null where the surroundings cannot tell
 */
export function lightFieldOf(
  { blocks }: Pick<Survey, 'blocks'>,
  size: { width: number; height: number },
  outlines: readonly Quad[],
  camera: Camera,
): LightField | null {
  const around = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.2))
  const free = blocks.filter(({ middle }) => !around.some((quad) => pointInQuad(middle, quad)))
  if (free.length < leastBlocks) return null
  const place = ([x, y]: Point) => {
    const [u, v] = [x / size.width - 0.5, (y - size.height / 2) / size.width]
    return [1, u, v, u * u, u * v, v * v]
  }
  const rows = free.map(({ middle, mean }) => {
    const light = mean.reduce((sum, v, c) => sum + undoTone(v, camera) * camera.gain[c]!, 0)
    return { x: place(middle), y: Math.log(Math.max(light - 3 * camera.flare, 1e-6)) }
  })
  let weights = rows.map(() => 1)
  let found = Array<number>(terms).fill(0)
  let scatter = 0
  for (let round = 0; round < rounds; round++) {
    found = solveWeighted(rows, weights)
    const away = rows.map(({ x, y }) => Math.abs(y - dot(x, found)))
    scatter = 1.4826 * quantile(away, 0.5)
    const reach = 4.7 * Math.max(scatter, 1e-3)
    weights = away.map((r) => (r < reach ? (1 - (r / reach) ** 2) ** 2 : 0))
  }
  const following = weights.filter((w) => w > 0).length / weights.length
  if (scatter > mostScatter || following < leastFollowing) return null
  return { at: (p) => dot(place(p), found) - found[0]! }
}

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0)

function solveWeighted(rows: readonly { x: number[]; y: number }[], weights: readonly number[]): number[] {
  const normal = Array.from({ length: terms }, (_, i) =>
    Array.from({ length: terms + 1 }, (_unused, j) => (i === j ? 1e-9 : 0)),
  )
  rows.forEach(({ x, y }, n) => {
    const w = weights[n]!
    if (w === 0) return
    for (let i = 0; i < terms; i++) {
      for (let j = 0; j < terms; j++) normal[i]![j]! += w * x[i]! * x[j]!
      normal[i]![terms]! += w * x[i]! * y
    }
  })
  return solveLinear(normal)
}
