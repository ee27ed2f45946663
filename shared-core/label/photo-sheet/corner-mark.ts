import type { SheetPrint } from '../../records/photo-sheet.ts'
import { codeBits, contentBits, withCheck, withoutErrors } from './error-correction.ts'

/** 1 top left, 2 top right, 3 bottom right, 4 bottom left. */
export type Corner = 1 | 2 | 3 | 4

/** A mark is a black square of so many cells a side; the outermost are its border, those within carry the code row by row. */
export const markCells = 12
export const codeCells = markCells - 2

/** Of the layout, not of the code: another arrangement of the same page gets another number. */
const version = 1
const fields = [
  ['version', 4],
  ['spare', 3],
  ['corner', 2],
  ['paperWide', 10],
  ['paperHigh', 10],
  ['panelWide', 10],
  ['panelHigh', 10],
  ['series', 16],
] as const
type Field = (typeof fields)[number][0]

/** Sizes stand in a mark, and on a sheet, in whole halves of a millimetre. */
export const inHalves = (mm: number): number => Math.round(mm * 2) / 2

/** What a mark says is laid over this fixed even mixture of dark and light: the powers of 3 in the integers modulo 101. */
const cover: readonly number[] = (() => {
  const bits: number[] = []
  for (let i = 0, value = 1; i < codeBits; i++, value = (value * 3) % 101) bits.push((value >> 2) & 1)
  return bits
})()

/** @returns the rows of a corner's mark, '1' dark; sizes are rounded to halves of a millimetre */
export function encodeMark({ paper, panel, series }: SheetPrint, corner: Corner): string[] {
  const values: Record<Field, number> = {
    version,
    spare: 0,
    corner: corner - 1,
    paperWide: Math.round(paper.widthMm * 2),
    paperHigh: Math.round(paper.heightMm * 2),
    panelWide: Math.round(panel.widthMm * 2),
    panelHigh: Math.round(panel.heightMm * 2),
    series,
  }
  const content = fields.flatMap(([name, bits]) =>
    Array.from({ length: bits }, (_one, at) => (values[name] >> (bits - 1 - at)) & 1),
  )
  const code = withCheck(content).map((bit, at) => bit ^ cover[at]!)
  const edge = '1'.repeat(markCells)
  const rows = Array.from({ length: codeCells }, (_row, y) => {
    return `1${code.slice(y * codeCells, (y + 1) * codeCells).join('')}1`
  })
  return [edge, ...rows, edge]
}

export type ReadMark = { print: SheetPrint; corner: Corner; wrong: number }

/**
 * The inverse of `encodeMark`, for one of the four ways that a mark can be turned.
 * @param cells  the cells within the border, row by row, 1 dark
 * @returns      null for what is no mark of this version. A random square passes about once in 300,000 times (0.23 % of all 100
 *               bits are near a code word, a 128th of those has this version, one in five sizes that can be)
 */
export function decodeMark(cells: readonly number[]): ReadMark | null {
  if (cells.length !== codeBits) return null
  const read = withoutErrors(cells.map((bit, at) => bit ^ cover[at]!))
  if (read === null || read.content.length !== contentBits) return null
  const values = {} as Record<Field, number>
  let at = 0
  for (const [name, bits] of fields) {
    values[name] = Number.parseInt(read.content.slice(at, at + bits).join(''), 2)
    at += bits
  }
  const paper = { widthMm: values.paperWide / 2, heightMm: values.paperHigh / 2 }
  const panel = { widthMm: values.panelWide / 2, heightMm: values.panelHigh / 2 }
  if (values.version !== version || values.spare !== 0) return null
  if (Math.max(paper.widthMm, paper.heightMm) > 450 || Math.min(panel.widthMm, panel.heightMm) <= 0) return null
  if (panel.widthMm > paper.widthMm || panel.heightMm > paper.heightMm) return null
  return { print: { paper, panel, series: values.series }, corner: (values.corner + 1) as Corner, wrong: read.wrong }
}
