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

/** What one row of pixels is summed with, and into. */
type Summing = Inside & {
  data: Pixels['data']
  width: number
  full: number
  tables: DecodeTables
  columns: number
  rows: number
  sums: Float64Array
  /** At the largest number, red green blue; at 0, red green blue; pixels. */
  counts: Float64Array
}

function sumBlocks(
  pixels: Pixels,
  tables: DecodeTables,
  inside: Inside,
  { columns, rows }: Pick<Grid, 'columns' | 'rows'>,
) {
  const sums = new Float64Array(columns * rows * fields)
  const counts = new Float64Array(7)
  const { data, width } = pixels
  const summing = { ...inside, data, width, full: fullOf(pixels), tables, columns, rows, sums, counts }
  const { box, step } = inside
  for (let y = box.top; y < box.top + box.height; y += step) sumRow(summing, y)
  const atFull: Triple = [counts[0]!, counts[1]!, counts[2]!]
  const atZero: Triple = [counts[3]!, counts[4]!, counts[5]!]
  return { sums, atFull, atZero, pixelCount: counts[6]! }
}

/**
 * The loop over the pixels of a row: written out, because a photo has millions of them, and by itself, because an engine
 * makes a function fast that is called often, and hardly one that is called once.
 */
function sumRow(summing: Summing, y: number): void {
  const { data, width, full, columns, rows, sums, counts, isRound } = summing
  const [red, green, blue] = summing.tables
  const [h0, h1, h2, h3, h4, h5, h6, h7, h8] = summing.toUnit
  const { box, step } = summing
  const [left, right] = [box.left | 0, (box.left + box.width) | 0]
  const py = y + 0.5
  const uy = h1 * py
  const vy = h4 * py
  const wy = h7 * py
  // the sums of the block that the pixels are just in; neighbours mostly share it
  let cell = -1
  let sumRed = 0
  let sumGreen = 0
  let sumBlue = 0
  let squares = 0
  let clipped = 0
  let clippedTwice = 0
  let count = 0
  // of the row
  let redFull = 0
  let greenFull = 0
  let blueFull = 0
  let redZero = 0
  let greenZero = 0
  let blueZero = 0
  let seen = 0
  for (let x = left; x < right; x += step) {
    const px = x + 0.5
    const w = h6 * px + wy + h8
    const u = (h0 * px + uy + h2) / w
    const v = (h3 * px + vy + h5) / w
    if (!(u >= 0 && u < 1 && v >= 0 && v < 1)) continue
    if (isRound && (u - 0.5) * (u - 0.5) + (v - 0.5) * (v - 0.5) > 0.25) continue
    // u and v are not below 0: cutting their fractions off is rounding down
    const here = (((v * rows) | 0) * columns + ((u * columns) | 0)) * fields
    if (here !== cell) {
      if (cell >= 0) {
        sums[cell] = sumRed
        sums[cell + 1] = sumGreen
        sums[cell + 2] = sumBlue
        sums[cell + 3] = squares
        sums[cell + 4]! += clipped
        sums[cell + 5]! += clippedTwice
        sums[cell + 6]! += count
      }
      cell = here
      sumRed = sums[cell]!
      sumGreen = sums[cell + 1]!
      sumBlue = sums[cell + 2]!
      squares = sums[cell + 3]!
      clipped = 0
      clippedTwice = 0
      count = 0
    }
    const at = (y * width + x) * 3
    const r = data[at]!
    const g = data[at + 1]!
    const b = data[at + 2]!
    const lr = red[r]!
    const lg = green[g]!
    const lb = blue[b]!
    const sum = lr + lg + lb
    sumRed += lr
    sumGreen += lg
    sumBlue += lb
    squares += sum * sum
    count++
    seen++
    // counted without branches: one that is rarely taken makes the engine start over when it is
    const redIs = r === full ? 1 : 0
    const greenIs = g === full ? 1 : 0
    const blueIs = b === full ? 1 : 0
    const out = redIs + greenIs + blueIs
    clipped += out > 0 ? 1 : 0
    clippedTwice += out > 1 ? 1 : 0
    redFull += redIs
    greenFull += greenIs
    blueFull += blueIs
    redZero += r === 0 ? 1 : 0
    greenZero += g === 0 ? 1 : 0
    blueZero += b === 0 ? 1 : 0
  }
  if (cell >= 0) {
    sums[cell] = sumRed
    sums[cell + 1] = sumGreen
    sums[cell + 2] = sumBlue
    sums[cell + 3] = squares
    sums[cell + 4]! += clipped
    sums[cell + 5]! += clippedTwice
    sums[cell + 6]! += count
  }
  counts[0]! += redFull
  counts[1]! += greenFull
  counts[2]! += blueFull
  counts[3]! += redZero
  counts[4]! += greenZero
  counts[5]! += blueZero
  counts[6]! += seen
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
