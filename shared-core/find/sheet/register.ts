import { type Homography, mapPoint } from '../../capture/geometry.ts'
import { biweight, type Equations, leastSquares, leftOver, scatterOf } from '../../capture/least-squares.ts'
import { multiply3 } from '../../colour/matrix.ts'
import { markCells } from '../../label/photo-sheet/corner-mark.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import { lightAt } from './edges.ts'
import type { Grey } from './grey.ts'

/** A mark as it is printed: its place on the page, and its rows, '1' dark. */
export type PrintedMark = { place: Rect; rows: readonly string[] }

/** Samples a side of a cell, and how many cells of the white around a mark are looked at. */
const perCell = 3
const around = 1
const side = (markCells + 2 * around) * perCell
const rounds = 4
/** How wide a point is in the photo, in cells: the one that suits best is taken. */
const blurs = [0.12, 0.22, 0.32, 0.45, 0.6] as const
/** Marks that were seen do not lie further than this from where their edges said. */
const mostMovedMm = 2

/**
 * The map from page to photo once more, from everything that is printed in the marks: each of their cells has edges, dark on light
 * and light on dark, so that blur and spread ink move none of them together, as they do the outer edges.
 * Gauss and Newton over the light in the photo, as in S. Baker, I. Matthews, Lucas-Kanade 20 Years On, Int. J. Comput. Vis. 56 (2004).
 * @param start  within a pixel or two
 * @returns      null where it leads away
 */
export function registered(grey: Grey, start: Homography, marks: readonly PrintedMark[]): Homography | null {
  const models = blurs.map((blur) => marks.map(({ rows }) => blurredMark(rows, blur)))
  let toPhoto = start
  let model = models[0]!
  for (let round = 0; round < rounds; round++) {
    const lights = marks.map(({ place }) => lightsOver(grey, toPhoto, place))
    if (round < 2) {
      const apart = models.map((one) => unlike(lights, one))
      model = models[apart.indexOf(Math.min(...apart))]!
    }
    const step = stepFor(marks, lights, model)
    if (step === null) return null
    toPhoto = composed(toPhoto, step)
  }
  const moved = marks.map(({ place: { xMm, yMm } }) => {
    const [a, b] = [mapPoint(toPhoto, [xMm, yMm]), mapPoint(start, [xMm, yMm])]
    const [beside] = [mapPoint(start, [xMm + 1, yMm])]
    return Math.hypot(a[0] - b[0], a[1] - b[1]) / Math.hypot(beside[0] - b[0], beside[1] - b[1])
  })
  return Math.max(...moved) < mostMovedMm ? toPhoto : null
}

/** Millimetres on the page from its mark's middle outwards to a sample, in one direction. */
const alongMm = (at: number, widthMm: number): number =>
  ((at + 0.5) / perCell - around - markCells / 2) * (widthMm / markCells)

function lightsOver(grey: Grey, toPhoto: Homography, { xMm, yMm, widthMm }: Rect): Float64Array {
  const lights = new Float64Array(side * side)
  const [middleX, middleY] = [xMm + widthMm / 2, yMm + widthMm / 2]
  for (let row = 0; row < side; row++) {
    for (let column = 0; column < side; column++) {
      const [u, v] = mapPoint(toPhoto, [middleX + alongMm(column, widthMm), middleY + alongMm(row, widthMm)])
      lights[row * side + column] = lightAt(grey, u, v)
    }
  }
  return lights
}

/** 0 dark, 1 light, as a photo shows it. */
function blurredMark(rows: readonly string[], blur: number): Float64Array {
  const fine = Float64Array.from({ length: side * side }, (_one, at) => {
    const [x, y] = [Math.floor((at % side) / perCell) - around, Math.floor(Math.floor(at / side) / perCell) - around]
    return rows[y]?.[x] === '1' ? 0 : 1
  })
  const reach = Math.ceil(3 * blur * perCell)
  const kernel = Array.from({ length: 2 * reach + 1 }, (_one, k) =>
    Math.exp(-(((k - reach) / (blur * perCell)) ** 2) / 2),
  )
  const sum = kernel.reduce((a, b) => a + b, 0)
  const once = (from: Float64Array, step: number, line: (at: number) => number): Float64Array =>
    from.map((_value, at) => {
      let value = 0
      for (let k = -reach; k <= reach; k++) {
        const to = Math.min(side - 1, Math.max(0, line(at) + k))
        value += kernel[k + reach]! * from[at + (to - line(at)) * step]!
      }
      return value / sum
    })
  return once(
    once(fine, 1, (at) => at % side),
    side,
    (at) => Math.floor(at / side),
  )
}

/** Light in the photo from what is printed: black, white, and how both change over the mark. */
function lit(lights: Float64Array, model: Float64Array): { equations: Equations; found: number[] } {
  const terms = new Float64Array(4 * lights.length)
  for (let at = 0; at < lights.length; at++)
    terms.set([1, model[at]!, (at % side) / side - 0.5, Math.floor(at / side) / side - 0.5], 4 * at)
  const equations = { terms, count: 4, values: lights }
  return { equations, found: leastSquares(equations, ones, [0, 0, 0, 0]) }
}
const ones = new Float64Array(side * side).fill(1)

function restOf(lights: Float64Array, model: Float64Array): { rest: Float64Array; contrast: number } {
  const { equations, found } = lit(lights, model)
  const rest = new Float64Array(lights.length)
  leftOver(equations, found, rest)
  return { rest, contrast: found[1]! }
}

function unlike(lights: readonly Float64Array[], model: readonly Float64Array[]): number {
  let sum = 0
  for (const [n, light] of lights.entries()) {
    const { rest, contrast } = restOf(light, model[n]!)
    for (const value of rest) sum += (value / contrast) ** 2
  }
  return sum
}

/** Page millimetres are divided by this and taken from here, so that all eight numbers of a step are of one size. */
const frame = { middleMm: 150, scaleMm: 150 }

/** The small projective step, in page millimetres, that makes the photo most like what is printed. */
function stepFor(
  marks: readonly PrintedMark[],
  lights: readonly Float64Array[],
  models: readonly Float64Array[],
): Homography | null {
  const count = marks.length * (side - 2) ** 2
  const terms = new Float64Array(8 * count)
  const values = new Float64Array(count)
  const weights = new Float64Array(count)
  let n = 0
  for (const [m, { place }] of marks.entries()) {
    const { rest, contrast } = restOf(lights[m]!, models[m]!)
    if (!(contrast > 0)) return null
    const most = 4 * Math.max(scatterOf(rest), 0.01 * contrast)
    const between = (2 * place.widthMm) / markCells / perCell
    for (let row = 1; row < side - 1; row++) {
      for (let column = 1; column < side - 1; column++, n++) {
        const at = row * side + column
        const light = lights[m]!
        const slopeX = ((light[at + 1]! - light[at - 1]!) / between / contrast) * frame.scaleMm
        const slopeY = ((light[at + side]! - light[at - side]!) / between / contrast) * frame.scaleMm
        const x = (place.xMm + place.widthMm / 2 + alongMm(column, place.widthMm) - frame.middleMm) / frame.scaleMm
        const y = (place.yMm + place.widthMm / 2 + alongMm(row, place.widthMm) - frame.middleMm) / frame.scaleMm
        const deep = slopeX * x + slopeY * y
        terms.set([slopeX, slopeX * x, slopeX * y, slopeY, slopeY * x, slopeY * y, -deep * x, -deep * y], 8 * n)
        values[n] = -rest[at]! / contrast
        weights[n] = biweight(rest[at]!, most)
      }
    }
  }
  try {
    const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = leastSquares(
      { terms, count: 8, values },
      weights,
      Array.from({ length: 8 }, () => 1e-9 * count),
    )
    return inMm([1 + b, c, a, e, 1 + f, d, g, h, 1])
  } catch (error) {
    if (error instanceof RangeError) return null
    throw error
  }
}

function inMm(step: Homography): Homography {
  const { middleMm: m, scaleMm: s } = frame
  return multiply3(multiply3([s, 0, m, 0, s, m, 0, 0, 1], step), [1 / s, 0, -m / s, 0, 1 / s, -m / s, 0, 0, 1])
}

/** First the step on the page, then the map; its last entry is 1. */
function composed(toPhoto: Homography, step: Homography): Homography {
  const all = multiply3(toPhoto, step)
  return all.map((value) => value / all[8]) as unknown as Homography
}
