import type { DecodeTables } from '../colour/profile.ts'
import type { Shape } from '../records/area.ts'
import {
  boxAround,
  type Homography,
  homographyBetween,
  isConvex,
  outlineOf,
  type PixelBox,
  shrinkQuad,
  sidesOf,
  unitSquare,
} from './geometry.ts'
import { fullOf, type Pixels, type Triple } from './pixels.ts'

/** One small block of an area: its mean in linear light and what happened to its numbers. */
export type Cell = {
  /** Position inside the area, 0 to 1. */
  u: number
  v: number
  count: number
  mean: Triple
  /** Mean of the squares of the linear sum of the channels, for the texture inside the block. */
  meanSquare: number
  /** Shares of pixels with at least one channel, and with at least two, at the file's largest number. */
  clipped: number
  clippedTwice: number
}

/** An area cut into blocks. */
export type Grid = {
  columns: number
  rows: number
  /** Row by row; null where the block holds too few pixels. */
  cells: (Cell | null)[]
  /** Pixels looked at. */
  pixelCount: number
  /** Pixels of the shape, before its edge was taken off and with what lies outside the photo. */
  shapePixels: number
  /** Of the pixels looked at: how many are at the file's largest number and at 0, per channel. */
  atFull: Triple
  atZero: Triple
}

/** Edge taken off each side before reading: masking lines, card bevels and unsharp corners lie there. */
export const edge = 0.04
const mostCells = 28
const leastCellSide = 5

/** Of larger areas a lattice of no more than this many pixels is averaged: more changes no reading. */
const mostSamples = 500_000
/** Numbers summed for each block: linear red, green, blue, square of their sum, clipped, clipped twice, pixels. */
const fields = 7

/**
 * Cuts the inside of a shape into blocks and averages each in linear light.
 * @param shape    in the coordinates of `pixels`
 * @param samples  at most so many pixels are looked at; a larger shape is sampled on a square lattice
 * @returns        null when the outline crosses itself, or none of it lies in the photo
 */
export function gridOf(pixels: Pixels, tables: DecodeTables, shape: Shape, samples = mostSamples): Grid | null {
  const outline = outlineOf(shape)
  if (!isConvex(outline)) return null
  const inner = shrinkQuad(outline, edge)
  const box = boxAround(inner, 0, pixels)
  if (!box) return null
  const sides = sidesOf(inner)
  const size = { columns: cellsAlong(sides.width), rows: cellsAlong(sides.height) }
  const step = Math.ceil(Math.sqrt((box.width * box.height) / samples))
  const inside = { box, step, toUnit: homographyBetween(inner, unitSquare), isRound: shape.kind === 'round' }
  const { sums, atFull, atZero, pixelCount } = sumBlocks(pixels, tables, inside, size)
  if (pixelCount === 0) return null
  const { columns, rows } = size
  const nominal = (sides.width * sides.height) / (columns * rows * step * step)
  const cells = Array.from({ length: columns * rows }, (_, i) => cellFrom(sums, i, columns, rows, nominal / 2))
  const shapePixels =
    shape.kind === 'round' ? Math.PI * shape.radius ** 2 : sidesOf(outline).width * sidesOf(outline).height
  return { columns, rows, cells, pixelCount, shapePixels, atFull, atZero }
}

type Inside = { box: PixelBox; step: number; toUnit: Homography; isRound: boolean }

/** The loop over all pixels of an area: written out, because a photo has millions of them. */
function sumBlocks(
  pixels: Pixels,
  [red, green, blue]: DecodeTables,
  { box, step, toUnit, isRound }: Inside,
  { columns, rows }: Pick<Grid, 'columns' | 'rows'>,
) {
  const sums = new Float64Array(columns * rows * fields)
  const full = fullOf(pixels)
  const { data, width } = pixels
  const [h0, h1, h2, h3, h4, h5, h6, h7, h8] = toUnit
  let pixelCount = 0
  let [redFull, greenFull, blueFull, redZero, greenZero, blueZero] = [0, 0, 0, 0, 0, 0]
  // the sums of the block that the pixels are just in; neighbours mostly share it
  let cell = 0
  let [sumRed, sumGreen, sumBlue, squares, count] = [0, 0, 0, 0, 0]
  for (let y = box.top; y < box.top + box.height; y += step) {
    const py = y + 0.5
    const [uy, vy, wy] = [h1 * py, h4 * py, h7 * py]
    for (let x = box.left; x < box.left + box.width; x += step) {
      const px = x + 0.5
      const w = h6 * px + wy + h8
      let u = h0 * px + uy + h2
      let v = h3 * px + vy + h5
      // a division takes as long as all the rest, and a whole photo needs none
      if (w !== 1) {
        u /= w
        v /= w
      }
      if (!(u >= 0 && u < 1 && v >= 0 && v < 1)) continue
      if (isRound && (u - 0.5) * (u - 0.5) + (v - 0.5) * (v - 0.5) > 0.25) continue
      const at = (y * width + x) * 3
      const r = data[at]!
      const g = data[at + 1]!
      const b = data[at + 2]!
      const lr = red[r]!
      const lg = green[g]!
      const lb = blue[b]!
      const sum = lr + lg + lb
      // u and v are below 1 and not below 0
      const here = (((v * rows) | 0) * columns + ((u * columns) | 0)) * fields
      if (here !== cell) {
        sums[cell] = sumRed
        sums[cell + 1] = sumGreen
        sums[cell + 2] = sumBlue
        sums[cell + 3] = squares
        sums[cell + 6] = count
        cell = here
        sumRed = sums[cell]!
        sumGreen = sums[cell + 1]!
        sumBlue = sums[cell + 2]!
        squares = sums[cell + 3]!
        count = sums[cell + 6]!
      }
      sumRed += lr
      sumGreen += lg
      sumBlue += lb
      squares += sum * sum
      count++
      pixelCount++
      if (r === full || g === full || b === full) {
        if (r === full) redFull++
        if (g === full) greenFull++
        if (b === full) blueFull++
        sums[cell + 4]!++
        if (Number(r === full) + Number(g === full) + Number(b === full) > 1) sums[cell + 5]!++
      }
      if (r === 0) redZero++
      if (g === 0) greenZero++
      if (b === 0) blueZero++
    }
  }
  sums[cell] = sumRed
  sums[cell + 1] = sumGreen
  sums[cell + 2] = sumBlue
  sums[cell + 3] = squares
  sums[cell + 6] = count
  const atFull: Triple = [redFull, greenFull, blueFull]
  const atZero: Triple = [redZero, greenZero, blueZero]
  return { sums, atFull, atZero, pixelCount }
}

const cellsAlong = (side: number) => Math.min(mostCells, Math.max(1, Math.floor(side / leastCellSide)))

function cellFrom(sums: Float64Array, index: number, columns: number, rows: number, least: number): Cell | null {
  const at = index * fields
  const count = sums[at + 6]!
  if (count < 1 || count < least) return null
  return {
    u: ((index % columns) + 0.5) / columns,
    v: (Math.floor(index / columns) + 0.5) / rows,
    count,
    mean: [sums[at]! / count, sums[at + 1]! / count, sums[at + 2]! / count],
    meanSquare: sums[at + 3]! / count,
    clipped: sums[at + 4]! / count,
    clippedTwice: sums[at + 5]! / count,
  }
}
