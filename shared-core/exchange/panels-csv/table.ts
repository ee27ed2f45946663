import { Refusal } from '../../contract/refusal.ts'
import { mostBytes, type Separating } from '../../records/notebook.ts'
import { csvLines, plainText, type Separator } from '../read/csv.ts'
import { isKnownHeading } from './headings.ts'

/** A table as it stands in the file, every cell as text. */
export type Table = {
  separator: Separating
  /** False: there is no row of headings, and columns are numbered. */
  hasHeadings: boolean
  headings: string[]
  rows: TableRow[]
}
/** `row` is counted as a spreadsheet counts it, from 1. */
export type TableRow = { row: number; cells: string[] }

/** Far more than a notebook holds; what is larger is something else, or a mistake. */
const mostRows = 50_000
const mostColumns = 200
/** Headings stand within so many rows; above them may be a title. */
const headingsWithin = 20
/** So many rows show how columns are kept apart. */
const lookedAt = 60

const separatorSign: Record<Separating, Separator> = { comma: ',', semicolon: ';', tab: '\t' }

/** Signs that no text has: a picture, a program, a spreadsheet's own format. */
export const noText = /[^\P{Cc}\t\n\v\f\r\u0080-\u009F]/u

const remedy = 'Save the table from your spreadsheet program as CSV (text with separators), and choose that file.'
const notATable = (message: string) => new Refusal('notebook/not-a-table', message, remedy)
const badLine = (line: number, what: string) => notATable(`Line ${line} of the file: ${what}`)

export const tooLarge = () =>
  new Refusal(
    'notebook/too-large',
    `The file is larger than ${mostBytes / 1024 ** 2} MB, and a notebook of thousands of panels is not.`,
    'Choose the table of panels, saved as CSV. A very long one can be taken in several parts.',
  )

/**
 * Reads a table of text.
 * @param text  the file's characters
 * @param said  what the painter said; null is found out
 * @throws Refusal `notebook/not-a-table`, `notebook/no-rows`, `notebook/too-large`
 */
export function readTable(text: string, said: { separator: Separating | null; headings: boolean | null }): Table {
  const { plain, named } = withoutMarks(text)
  if (noText.test(plain)) throw notATable('This is no text file: it cannot be read as a table.')
  if (plain.trim() === '') throw noRows()
  const separator = said.separator ?? named ?? findSeparator(plain)
  if (separator === null)
    throw notATable('No columns are found in this file: neither commas nor semicolons nor tabs keep cells apart.')
  const records: TableRow[] = []
  let row = 0
  for (const line of csvLines(plain, separatorSign[separator], badLine)) {
    row++
    const cells = line.cells.map(plainText)
    if (cells.every((cell) => cell.trim() === '')) continue
    if (cells.length > mostColumns) throw badLine(row, `there are more than ${mostColumns} columns.`)
    if (records.length > mostRows)
      throw new Refusal(
        'notebook/too-large',
        `The table has more than ${mostRows.toLocaleString('en-GB')} rows.`,
        'Take it in several parts.',
      )
    records.push({ row, cells })
  }
  return headed(records, separator, said.headings)
}

const noRows = () =>
  new Refusal(
    'notebook/no-rows',
    'The file holds no row of a panel.',
    'Type one row for each panel below the headings; the model file shows how.',
  )

/** The mark of the encoding, and a first line like `sep=;`, which spreadsheets write for each other. */
function withoutMarks(text: string): { plain: string; named: Separating | null } {
  const plain = text.startsWith('\uFEFF') ? text.slice(1) : text
  const said = /^sep=([,;\t])\r?\n/i.exec(plain)
  if (!said) return { plain, named: null }
  // an empty line in its place, so that rows are counted as the spreadsheet counts them
  return {
    plain: `\n${plain.slice(said[0].length)}`,
    named: said[1] === ',' ? 'comma' : said[1] === ';' ? 'semicolon' : 'tab',
  }
}

/** The separator under which the first rows hold most known headings, and after that the most even rows. */
function findSeparator(text: string): Separating | null {
  let best: { separator: Separating; score: number } | null = null
  for (const separator of ['tab', 'semicolon', 'comma'] as const) {
    const rows = firstRows(text, separatorSign[separator])
    const widths = rows.map((cells) => cells.length)
    const usual = mode(widths)
    if (usual < 2) continue
    const even = widths.filter((width) => width === usual).length / widths.length
    const known = Math.max(...rows.slice(0, headingsWithin).map((cells) => cells.filter(isKnownHeading).length))
    const score = known * 10 + even * 5 + Math.min(usual, 20) / 20
    if (!best || score > best.score) best = { separator, score }
  }
  return best?.separator ?? null
}

function firstRows(text: string, sign: Separator): string[][] {
  const rows: string[][] = []
  try {
    for (const { cells } of csvLines(text, sign, badLine)) {
      if (cells.some((cell) => cell.trim() !== '')) rows.push(cells)
      if (rows.length >= lookedAt) break
    }
  } catch (error) {
    // what does not hold under this separator may under the next
    if (!(error instanceof Refusal)) throw error
  }
  return rows
}

function mode(values: readonly number[]): number {
  const counts = new Map<number, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  return [...counts].toSorted((a, b) => b[1] - a[1] || b[0] - a[0])[0]?.[0] ?? 0
}

function headed(records: TableRow[], separator: Separating, said: boolean | null): Table {
  const at = said === false ? -1 : findHeadings(records, said === true)
  const rows = records.slice(at + 1)
  if (rows.length === 0) throw noRows()
  const given = records[at]?.cells ?? []
  const widths = rows.map(({ cells }) => cells.length)
  // under headings, a few rows that are wider hold a separator too many; without, every column counts
  const width = at >= 0 ? Math.max(given.length, mode(widths)) : widths.reduce((a, b) => Math.max(a, b), 0)
  const headings = Array.from({ length: width }, (_, i) => given[i]?.trim().slice(0, 120) || `Column ${i + 1}`)
  return { separator, hasHeadings: at >= 0, headings, rows }
}

/** @returns where the headings stand, or -1 */
function findHeadings(records: readonly TableRow[], mustBe: boolean): number {
  const first = records.slice(0, headingsWithin)
  const known = first.findIndex(({ cells }) => cells.filter(isKnownHeading).length >= 2)
  if (known >= 0) return known
  const widest = Math.max(...first.map(({ cells }) => cells.length))
  const words = first.findIndex(({ cells }) => {
    const said = cells.map((cell) => cell.trim().toLowerCase())
    return (
      cells.length === widest &&
      said.every((cell) => cell !== '' && !/\d/.test(cell)) &&
      new Set(said).size === said.length
    )
  })
  // words without a figure over rows with figures
  if (words === 0 && records.slice(1, 6).some(({ cells }) => cells.some((cell) => /\d/.test(cell)))) return 0
  return mustBe ? 0 : -1
}
