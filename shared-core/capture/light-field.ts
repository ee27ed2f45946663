import type { Point, Quad } from '../records/area.ts'
import { type Camera, undoTone } from './camera/model.ts'
import { isConvex, pointInQuad, shrinkQuad } from './geometry.ts'
import { biweight, equationsOf, leastSquares, leftOver, scatterOf } from './least-squares.ts'
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
const ridge = Array<number>(6).fill(1e-9)
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
  const equations = equationsOf(
    free.map(({ middle }) => place(middle)),
    free.map(({ mean }) => {
      const light = mean.reduce((sum, v, c) => sum + undoTone(v, camera) * camera.gain[c]!, 0)
      return Math.log(Math.max(light - 3 * camera.flare, 1e-6))
    }),
  )
  const weights = new Float64Array(free.length).fill(1)
  const away = new Float64Array(free.length)
  let found: number[] = []
  let scatter = 0
  for (let round = 0; round < rounds; round++) {
    found = leastSquares(equations, weights, ridge)
    leftOver(equations, found, away)
    scatter = scatterOf(away)
    const reach = 4.7 * Math.max(scatter, 1e-3)
    for (let i = 0; i < away.length; i++) weights[i] = biweight(away[i]!, reach)
  }
  const following = weights.filter((w) => w > 0).length / weights.length
  if (scatter > mostScatter || following < leastFollowing) return null
  return { at: (p) => dot(place(p), found) - found[0]! }
}

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0)
