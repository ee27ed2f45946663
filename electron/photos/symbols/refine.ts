import { homographyBetween, isConvex, mapPoint, solveLinear } from '../../../shared-core/capture/geometry.ts'
import type { Point, Quad } from '../../../shared-core/records/area.ts'
import { type Grey, valueAt } from './grey.ts'

/** Samples along a module; the outermost row and column of samples lie in the quiet zone. */
const perModule = 2
const rounds = 6
/** A corner that would have to move further, in modules, belongs to something else. */
const furthest = 1.5

/** The symbol as it was read, softened as a photo softens it: 1 dark, 0 light, at a place in modules. */
function softened(side: number, dark: Uint8Array): (x: number, y: number) => number {
  const at = (x: number, y: number): number =>
    x < 0 || y < 0 || x >= side || y >= side ? 0 : dark[y * side + x] === 1 ? 1 : 0
  return (x, y) => {
    // the mean over a module's area around the place
    const [left, top] = [Math.floor(x - 0.5), Math.floor(y - 0.5)]
    const [u, v] = [x - 0.5 - left, y - 0.5 - top]
    const above = at(left, top) * (1 - u) + at(left + 1, top) * u
    return above * (1 - v) + (at(left, top + 1) * (1 - u) + at(left + 1, top + 1) * u) * v
  }
}

const corner = (quad: Quad, index: number, by: number): Quad => {
  const moved = quad.map(([x, y]) => [x, y] as Point)
  moved[index >> 1]![index & 1]! += by
  return moved as Quad
}

/**
 * Moves the corners of a symbol that was read to where its modules lie best: Gauss and Newton's steps on the eight
 * numbers of the corners, with the symbol itself as the pattern.
 * Source of the method: S. Baker, I. Matthews, Lucas-Kanade 20 Years On, Int. J. Comput. Vis. 56 (2004) 221–255.
 * @returns  the quad as it came where that does not settle
 */
export function refined(grey: Grey, quad: Quad, symbol: { side: number; dark: Uint8Array }): Quad {
  try {
    return settled(grey, quad, symbol)
  } catch (error) {
    // corners that a step has put in one line, or a picture without any slope
    if (error instanceof RangeError) return quad
    throw error
  }
}

function settled(grey: Grey, quad: Quad, { side, dark }: { side: number; dark: Uint8Array }): Quad {
  const square: Quad = [
    [0, 0],
    [side, 0],
    [side, side],
    [0, side],
  ]
  const pattern = softened(side, dark)
  const places: Point[] = []
  const wanted: number[] = []
  for (let y = -1; y < side * perModule + 1; y++)
    for (let x = -1; x < side * perModule + 1; x++) {
      const place: Point = [(x + 0.5) / perModule, (y + 0.5) / perModule]
      places.push(place)
      wanted.push(pattern(...place))
    }
  const sampled = (corners: Quad): Float64Array => {
    const map = homographyBetween(square, corners)
    return Float64Array.from(places, (place) => {
      const [x, y] = mapPoint(map, place)
      return valueAt(grey, x, y)
    })
  }
  const module = Math.hypot(quad[2][0] - quad[0][0], quad[2][1] - quad[0][1]) / (side * Math.SQRT2)
  let now = quad
  let best = quad
  let bestError = Number.POSITIVE_INFINITY
  for (let round = 0; round <= rounds; round++) {
    const here = sampled(now)
    const { residuals, gain } = fitted(here, wanted)
    const error = residuals.reduce((sum, each) => sum + each * each, 0) / (gain * gain)
    if (gain >= 0 || !(error < bestError)) break
    best = now
    bestError = error
    if (round === rounds) break
    const step = 0.25
    const slopes = Array.from({ length: 8 }, (_, i) => {
      const [more, less] = [sampled(corner(now, i, step)), sampled(corner(now, i, -step))]
      return more.map((value, k) => (value - less[k]!) / (2 * step))
    })
    const rows = slopes.map((a, i) => [
      ...slopes.map((b, j) => dot(a, b) + (i === j ? 1e-3 * dot(a, a) : 0)),
      -dot(a, residuals),
    ])
    const moves = solveLinear(rows)
    now = now.map(([x, y], i) => [x + moves[2 * i]!, y + moves[2 * i + 1]!]) as Quad
    if (!isConvex(now)) break
    if (Math.max(...moves.map(Math.abs)) < 0.01) break
  }
  const farthest = Math.max(...best.map(([x, y], i) => Math.hypot(x - quad[i]![0], y - quad[i]![1])))
  return farthest <= furthest * module ? best : quad
}

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}

/** The straight line from the pattern to the picture's numbers, and what is left over. */
function fitted(values: Float64Array, wanted: readonly number[]): { residuals: Float64Array; gain: number } {
  let [sw, sv, sww, swv] = [0, 0, 0, 0]
  for (let i = 0; i < values.length; i++) {
    const [w, v] = [wanted[i]!, values[i]!]
    sw += w
    sv += v
    sww += w * w
    swv += w * v
  }
  const n = values.length
  const gain = (n * swv - sw * sv) / (n * sww - sw * sw)
  const base = (sv - gain * sw) / n
  return { residuals: values.map((v, i) => v - base - gain * wanted[i]!), gain }
}
