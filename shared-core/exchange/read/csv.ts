import { Refusal } from '../../contract/refusal.ts'
import { addMeasure, badFile, type MeasuredFile, mostColumns, nothingStated, type Sample } from '../measured.ts'
import { type Column, checkColumns, columnOf, holdColour, readRow, takeCondition } from './columns.ts'
import { parseFigure } from './words.ts'

export type Separator = ',' | ';' | '\t'
const separators: readonly Separator[] = ['\t', ';', ',']
/** No name and no figure is so long. */
const longestCell = 10_000
/** Lines of title and settings above the headings. */
const mostAbove = 60

type Line = { cells: string[]; line: number }
/** What is thrown for a line that cannot be read. */
type Fault = (line: number, what: string) => Refusal

/**
 * Lines of a table as RFC 4180 writes them: quotes around a cell keep separators and line ends in it, a quote in it is
 * doubled.
 */
export function* csvLines(text: string, separator: Separator, fault: Fault = badFile): Generator<Line> {
  let cells: string[] = []
  let cell = ''
  let inQuotes = false
  // whether the cell holds blanks alone so far: looking anew at each quote would take its time in a cell full of them
  let isBlank = true
  let line = 1
  let began = 1
  for (let at = 0; at < text.length; at++) {
    const sign = text[at] ?? ''
    if (cell.length > longestCell) throw fault(began, `a cell holds more than ${longestCell} characters.`)
    if (cells.length > mostColumns) throw fault(began, `there are more than ${mostColumns} columns.`)
    if (sign === '\n' || (sign === '\r' && text[at + 1] !== '\n')) line++
    if (inQuotes) {
      if (sign !== '"') cell += sign
      else if (text[at + 1] === '"') cell += text[at++]
      else inQuotes = false
    } else if (sign === '"' && isBlank) {
      cell = ''
      inQuotes = true
      isBlank = false
    } else if (sign === separator) {
      cells.push(cell)
      cell = ''
      isBlank = true
    } else if (sign === '\n' || sign === '\r') {
      if (sign === '\r' && text[at + 1] === '\n') continue
      cells.push(cell)
      yield { cells, line: began }
      cells = []
      cell = ''
      isBlank = true
      began = line
    } else {
      cell += sign
      isBlank &&= sign.trim() === ''
    }
  }
  if (inQuotes) throw fault(began, 'a text in quotes does not end.')
  if (cell !== '' || cells.length > 0) yield { cells: [...cells, cell], line: began }
}

type Header = { separator: Separator; headings: string[]; columns: Column[]; line: number; above: Line[] }

/** Under which separator the first lines hold headings of a colour; undefined when under none. */
export function findHeader(text: string): Header | undefined {
  for (const separator of separators) {
    const above: Line[] = []
    try {
      for (const { cells, line } of csvLines(text, separator)) {
        const columns = cells.map(columnOf)
        if (holdColour(columns)) return { separator, headings: cells, columns, line, above }
        above.push({ cells, line })
        if (above.length > mostAbove) break
      }
    } catch (error) {
      // quotes that do not end under this separator may under the next
      if (!(error instanceof Refusal)) throw error
    }
  }
  return undefined
}

/** A table of a spreadsheet with headings: Lab or LCh columns, or wavelengths. */
export function readCsv(text: string, header: Header): MeasuredFile {
  const samples: Sample[] = []
  const byName = new Map<string, Sample>()
  const saidAs = new Set<string>()
  const { columns, headings, separator } = header
  checkColumns(columns, headings, header.line)
  const stated = { ...nothingStated }
  for (const { cells } of header.above) {
    const [said = '', ...rest] = cells.flatMap((cell) => cell.split(/:\s|=/)).map((cell) => cell.trim())
    const column = columnOf(said)
    const value = rest.filter(Boolean).join(' ')
    if (column?.is === 'condition' && value !== '' && !takeCondition(stated, column.name, value)) saidAs.add(value)
  }
  const decimal = makeDecimal(separator)
  for (const { cells, line } of csvLines(text, separator)) {
    if (line <= header.line || cells.every((cell) => cell.trim() === '')) continue
    if (cells.length > columns.length && cells.slice(columns.length).some((cell) => cell.trim() !== ''))
      throw badFile(line, `${cells.length} values stand under ${columns.length} headings.`)
    const row = readRow(columns, cells.map(plainText), stated, line, (cell) => decimal(cell, line))
    for (const word of row.saidAs) saidAs.add(word)
    for (const measure of row.measures) addMeasure(samples, byName, row.name, measure)
  }
  return { format: 'csv', samples, saidAs: [...saidAs] }
}

/** Comma or point as decimal sign, one for the whole file: a file that mixes them cannot be read for certain. */
function makeDecimal(separator: Separator): (cell: string, line: number) => number | null {
  let sign: 'comma' | 'point' | null = separator === ',' ? 'point' : null
  return (cell, line) => {
    const its = cell.includes(',') ? 'comma' : cell.includes('.') ? 'point' : null
    if (its !== null && sign !== null && its !== sign)
      throw badFile(
        line,
        separator === ','
          ? `“${cell.slice(0, 40)}” has a decimal comma, and commas keep the columns apart here.`
          : `“${cell.slice(0, 40)}” has another decimal sign than the figures above it.`,
      )
    sign ??= its
    return parseFigure(cell, its ?? sign ?? 'point')
  }
}

/**
 * Where a spreadsheet begins a formula, and what it takes as one: the start of a cell, also behind a separator that another
 * language's spreadsheet keeps columns apart with, and blanks.
 * Sources: OWASP, "CSV Injection" (=, +, -, @, tab, carriage return; a separator or quote in a text begins a cell of its own);
 * CWE-1236. The line feed and the wide forms of the four signs are common practice, no source.
 */
const blanks = String.raw`[ \u00A0]*`
const signs = String.raw`(?=[=+\-@\uFF1D\uFF0B\uFF0D\uFF20])`
const begins = String.raw`((?:^|[,;\t\r\n])${blanks})`
const formula = { plain: new RegExp(`${begins}('*)${signs}`, 'g'), guarded: new RegExp(`${begins}'('*)${signs}`, 'g') }
const control = { plain: /^([ \u00A0]*)('*)(?=[\t\r\n])/, guarded: /^([ \u00A0]*)'('*)(?=[\t\r\n])/ }

/**
 * A text that a spreadsheet shows as it is: what would begin a formula gets an apostrophe in front, which
 * spreadsheets take as "this is text". Where one stands already it gets one more, so that nothing is lost.
 */
export const guardedText = (text: string): string =>
  text.replaceAll(formula.plain, "$1'$2").replace(control.plain, "$1'$2")

/** The inverse of `guardedText`. */
export const plainText = (text: string): string =>
  text.replace(control.guarded, '$1$2').replaceAll(formula.guarded, '$1$2')
