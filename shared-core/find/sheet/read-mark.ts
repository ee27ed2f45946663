import { type Homography, homographyBetween, mapPoint } from '../../capture/geometry.ts'
import { codeCells, decodeMark, markCells, type ReadMark } from '../../label/photo-sheet/corner-mark.ts'
import type { Quad } from '../../records/area.ts'
import { type Grey, levelAt } from './grey.ts'

/** A corner mark in a photo: its outline begins at its own top left corner and goes on clockwise. */
export type SeenMark = ReadMark & { quad: Quad }

/** The cells within the border of a dark square, as it lies: how far each is on the dark side, 1 black, -1 white. */
type Cells = Float64Array
/** A dark square on white that may be a mark: outline clockwise on screen, beginning anywhere. */
export type Square = { quad: Quad; cells: Cells }

const grid: Quad = [
  [0, 0],
  [markCells, 0],
  [markCells, markCells],
  [0, markCells],
]
/** Of the 44 cells of the border so many must be dark. */
const leastBorder = 38
/** A code is as even a mixture as chance: within five standard deviations; a patch or a window is not. */
const mostUneven = 25
/** Black and white of a mark are at least so many codes apart. */
const leastContrast = 12

/** @returns null where there is no dark border on white, or nothing in it */
export function squareIn(grey: Grey, quad: Quad): Square | null {
  const h = homographyBetween(grid, quad)
  const border: Level[] = []
  for (let k = 0; k < markCells; k++) {
    border.push(cellAt(grey, h, k, 0), cellAt(grey, h, k, markCells - 1))
    if (k > 0 && k < markCells - 1) border.push(cellAt(grey, h, 0, k), cellAt(grey, h, markCells - 1, k))
  }
  const around: Level[] = []
  for (let k = 0; k < markCells; k++)
    around.push(
      cellAt(grey, h, k, -1.3),
      cellAt(grey, h, k, markCells + 0.3),
      cellAt(grey, h, -1.3, k),
      cellAt(grey, h, markCells + 0.3, k),
    )
  const black = planeThrough(border, 0.35)
  const white = planeThrough(around, 0.65)
  let dark = 0
  for (const { x, y, level } of border) if (level < (valueAt(black, x, y) + valueAt(white, x, y)) / 2) dark++
  const middle = markCells / 2
  if (dark < leastBorder || valueAt(white, middle, middle) - valueAt(black, middle, middle) < leastContrast) return null
  const cells = new Float64Array(codeCells * codeCells)
  for (let row = 0; row < codeCells; row++) {
    for (let column = 0; column < codeCells; column++) {
      const { x, y, level } = cellAt(grey, h, column + 1, row + 1)
      const [low, high] = [valueAt(black, x, y), valueAt(white, x, y)]
      cells[row * codeCells + column] = (low + high - 2 * level) / Math.max(1, high - low)
    }
  }
  const filled = cells.filter((value) => value > 0).length
  return Math.abs(filled - cells.length / 2) > mostUneven ? null : { quad, cells }
}

type Level = { x: number; y: number; level: number }

/** Mean over the middle of a cell. */
function cellAt(grey: Grey, h: Homography, column: number, row: number): Level {
  let sum = 0
  for (let j = 0; j < 3; j++) {
    for (let i = 0; i < 3; i++) {
      const [x, y] = mapPoint(h, [column + 0.28 + 0.22 * i, row + 0.28 + 0.22 * j])
      sum += levelAt(grey, x, y)
    }
  }
  return { x: column + 0.5, y: row + 0.5, level: sum / 9 }
}

type Plane = [number, number, number]
const valueAt = ([a, b, c]: Plane, x: number, y: number): number =>
  a + b * (x - markCells / 2) + c * (y - markCells / 2)

/** Through levels all round a square: slopes by least squares (its symmetry makes them independent), height by a quantile. */
function planeThrough(levels: readonly Level[], share: number): Plane {
  const middle = markCells / 2
  let [xx, yy, xl, yl] = [0, 0, 0, 0]
  const mean = levels.reduce((sum, { level }) => sum + level, 0) / levels.length
  for (const { x, y, level } of levels) {
    xx += (x - middle) ** 2
    yy += (y - middle) ** 2
    xl += (x - middle) * (level - mean)
    yl += (y - middle) * (level - mean)
  }
  const [b, c] = [xl / xx, yl / yy]
  const left = levels.map(({ x, y, level }) => level - b * (x - middle) - c * (y - middle)).toSorted((p, q) => p - q)
  return [left[Math.floor(share * (left.length - 1))]!, b, c]
}

/** A cell in a blurred photo holds some of its neighbours' light: taken off again, more and more, where the plain reading fails. */
const bleeds = [0, 0.1, 0.22] as const

/** @param quad clockwise, beginning anywhere @returns null for what is no mark */
export function readMark({ quad, cells }: Square): SeenMark | null {
  let best: SeenMark | null = null
  for (const bleed of bleeds) {
    const bits = bitsOf(cells, bleed)
    for (const turn of turns) {
      const read = decodeMark(turned(bits, turn))
      if (read === null || (best !== null && best.wrong <= read.wrong)) continue
      best = { ...read, quad: turnedQuad(quad, turn) }
    }
    if (best !== null) break
  }
  return best
}

/**
 * How many cells of a square are otherwise than a mark's, in the way of turning and sharpening that suits best.
 * @param expected  the cells within the mark's border, row by row, 1 dark
 */
export function likeness({ quad, cells }: Square, expected: readonly number[]): { otherwise: number; quad: Quad } {
  let best = { otherwise: Number.POSITIVE_INFINITY, quad }
  for (const bleed of bleeds) {
    const bits = bitsOf(cells, bleed)
    for (const turn of turns) {
      const otherwise = turned(bits, turn).filter((bit, at) => bit !== expected[at]).length
      if (otherwise < best.otherwise) best = { otherwise, quad: turnedQuad(quad, turn) }
    }
  }
  return best
}

const turns = [0, 1, 2, 3] as const

const bitsOf = (cells: Cells, bleed: number): number[] =>
  Array.from(sharpened(cells, bleed), (value) => (value > 0 ? 1 : 0))

function sharpened(cells: Cells, bleed: number): Cells {
  if (bleed === 0) return cells
  // beyond the code lies the border, which is black
  const at = (x: number, y: number): number =>
    x < 0 || y < 0 || x >= codeCells || y >= codeCells ? 1 : cells[y * codeCells + x]!
  return cells.map((value, i) => {
    const [x, y] = [i % codeCells, Math.floor(i / codeCells)]
    return value + bleed * (4 * value - at(x - 1, y) - at(x + 1, y) - at(x, y - 1) - at(x, y + 1))
  })
}

/** The cells as they are seen when the outline's corner `turn` is the mark's top left. */
function turned(bits: readonly number[], turn: number): number[] {
  const last = codeCells - 1
  return bits.map((_bit, i) => {
    const [x, y] = [i % codeCells, Math.floor(i / codeCells)]
    const [u, v] = turn === 0 ? [x, y] : turn === 1 ? [last - y, x] : turn === 2 ? [last - x, last - y] : [y, last - x]
    return bits[v * codeCells + u]!
  })
}

const turnedQuad = (quad: Quad, turn: number): Quad => [
  quad[turn % 4]!,
  quad[(turn + 1) % 4]!,
  quad[(turn + 2) % 4]!,
  quad[(turn + 3) % 4]!,
]
