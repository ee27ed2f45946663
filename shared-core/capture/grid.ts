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
  { box, step, toUnit: h, isRound }: Inside,
  { columns, rows }: Pick<Grid, 'columns' | 'rows'>,
) {
  const sums = new Float64Array(columns * rows * fields)
  const atFull: Triple = [0, 0, 0]
  const atZero: Triple = [0, 0, 0]
  const full = fullOf(pixels)
  const { data, width } = pixels
  let pixelCount = 0
  for (let y = box.top; y < box.top + box.height; y += step) {
    for (let x = box.left; x < box.left + box.width; x += step) {
      const px = x + 0.5
      const py = y + 0.5
      const w = h[6] * px + h[7] * py + h[8]
      const u = (h[0] * px + h[1] * py + h[2]) / w
      const v = (h[3] * px + h[4] * py + h[5]) / w
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
      const cell = (Math.floor(v * rows) * columns + Math.floor(u * columns)) * fields
      sums[cell]! += lr
      sums[cell + 1]! += lg
      sums[cell + 2]! += lb
      sums[cell + 3]! += sum * sum
      sums[cell + 6]!++
      pixelCount++
      if (r === full || g === full || b === full) {
        if (r === full) atFull[0]++
        if (g === full) atFull[1]++
        if (b === full) atFull[2]++
        sums[cell + 4]!++
        if (Number(r === full) + Number(g === full) + Number(b === full) > 1) sums[cell + 5]!++
      }
      if (r === 0) atZero[0]++
      if (g === 0) atZero[1]++
      if (b === 0) atZero[2]++
    }
  }
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
