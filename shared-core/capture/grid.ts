import type { DecodeTables } from '../colour/profile.ts'
import type { Shape } from '../records/area.ts'
import {
  boxAround,
  homographyBetween,
  isConvex,
  mapPoint,
  outlineOf,
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
  pixelCount: number
  /** Pixels of the shape, before its edge was taken off and with what lies outside the photo. */
  shapePixels: number
  /** Pixels at the file's largest number and at 0, per channel. */
  atFull: Triple
  atZero: Triple
}

/** Edge taken off each side before reading: masking lines, card bevels and unsharp corners lie there. */
const edge = 0.04
const mostCells = 28
const leastCellSide = 5

/**
 * Cuts the inside of a shape into blocks and averages each in linear light.
 * @param shape   in the coordinates of `pixels`
 * @returns       null when the outline crosses itself, or none of it lies in the photo
 */
export function gridOf(pixels: Pixels, tables: DecodeTables, shape: Shape): Grid | null {
  const outline = outlineOf(shape)
  if (!isConvex(outline)) return null
  const inner = shrinkQuad(outline, edge)
  const box = boxAround(inner, 0, pixels)
  if (!box) return null
  const sides = sidesOf(inner)
  const columns = cellsAlong(sides.width)
  const rows = cellsAlong(sides.height)
  const sums = new Float64Array(columns * rows * 7)
  const toUnit = homographyBetween(inner, unitSquare)
  const atFull: Triple = [0, 0, 0]
  const atZero: Triple = [0, 0, 0]
  const full = fullOf(pixels)
  const { data, width } = pixels
  let pixelCount = 0
  for (let y = box.top; y < box.top + box.height; y++) {
    for (let x = box.left; x < box.left + box.width; x++) {
      const [u, v] = mapPoint(toUnit, [x + 0.5, y + 0.5])
      if (!(u >= 0 && u < 1 && v >= 0 && v < 1)) continue
      if (shape.kind === 'round' && (u - 0.5) ** 2 + (v - 0.5) ** 2 > 0.25) continue
      const at = (y * width + x) * 3
      const cell = (Math.floor(v * rows) * columns + Math.floor(u * columns)) * 7
      let sum = 0
      let clipped = 0
      for (let c = 0; c < 3; c++) {
        const number = data[at + c]!
        const linear = tables[c]![number]!
        sums[cell + c]! += linear
        sum += linear
        if (number === full) {
          atFull[c]!++
          clipped++
        } else if (number === 0) atZero[c]!++
      }
      sums[cell + 3]! += sum * sum
      if (clipped > 0) sums[cell + 4]!++
      if (clipped > 1) sums[cell + 5]!++
      sums[cell + 6]!++
      pixelCount++
    }
  }
  if (pixelCount === 0) return null
  const nominal = (sides.width * sides.height) / (columns * rows)
  const cells = Array.from({ length: columns * rows }, (_, i) => cellFrom(sums, i, columns, rows, nominal / 2))
  const shapePixels =
    shape.kind === 'round' ? Math.PI * shape.radius ** 2 : sidesOf(outline).width * sidesOf(outline).height
  return { columns, rows, cells, pixelCount, shapePixels, atFull, atZero }
}

const cellsAlong = (side: number) => Math.min(mostCells, Math.max(1, Math.floor(side / leastCellSide)))

function cellFrom(sums: Float64Array, index: number, columns: number, rows: number, least: number): Cell | null {
  const at = index * 7
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
