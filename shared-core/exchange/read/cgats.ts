import {
  addMeasure,
  badFile,
  type Conditions,
  type MeasuredFile,
  mostColumns,
  nothingStated,
  type Sample,
} from '../measured.ts'
import { type Column, checkColumns, columnOf, holdColour, readRow, takeCondition } from './columns.ts'
import { parseFigure, saidIlluminant, saidObserver, saidScale } from './words.ts'

/**
 * CGATS.17 (ISO 28178): keyword lines, then BEGIN_DATA_FORMAT … END_DATA_FORMAT and BEGIN_DATA … END_DATA, as many
 * tables one after the other as there are. Text in double quotes, `#` begins a comment. The standard's forms are taken
 * from memory; a quote inside a text is read doubled (common practice, no source).
 */
export function readCgats(text: string): MeasuredFile {
  const samples: Sample[] = []
  const byName = new Map<string, Sample>()
  const saidAs = new Set<string>()
  let table = newTable()
  let section: 'keywords' | 'format' | 'data' = 'keywords'
  let began = 0
  let pending: Token[] = []

  const closeData = (line: number) => {
    if (pending.length > 0)
      throw badFile(
        pending[0]?.line ?? line,
        `${table.headings.length} values were expected, ${pending.length} are there.`,
      )
    if (table.sets !== null && table.sets !== table.rows)
      throw badFile(line, `the file announces ${table.sets} measurements and holds ${table.rows}.`)
    section = 'keywords'
    // the next table says for itself what its light, geometry and instrument were
    table = newTable()
  }
  const record = (cells: readonly string[], line: number) => {
    table.rows++
    const row = readRow(table.columns, cells, table.stated, line, (cell) => parseFigure(cell, 'point'))
    for (const word of row.saidAs) saidAs.add(word)
    for (const measure of row.measures) addMeasure(samples, byName, row.name, measure)
  }
  const dataLine = (raw: string, line: number) => {
    const width = table.headings.length
    // names without quotes may hold blanks where tabs keep the columns apart
    const tabbed = raw.split('\t')
    if (pending.length === 0 && tabbed.length === width && width > 1)
      return record(
        tabbed
          .map((cell) => tokensOf(cell, line).next().value?.text ?? '')
          .map((first, i) => wholeCell(tabbed[i] ?? '', first)),
        line,
      )
    for (const token of tokensOf(raw, line)) {
      pending.push(token)
      if (pending.length < width) continue
      const cells = pending
      pending = []
      record(
        cells.map((cell) => cell.text),
        cells[0]?.line ?? line,
      )
    }
  }

  const lines = text.split(/\r\n|\n|\r/)
  for (const [i, raw] of lines.entries()) {
    const line = i + 1
    const trimmed = raw.trim()
    if (trimmed === '' || trimmed.startsWith('#')) continue
    const word = trimmed.split(/\s/, 1)[0]?.toUpperCase()
    if (word === 'BEGIN_DATA_FORMAT' || word === 'BEGIN_DATA') {
      if (section !== 'keywords') throw badFile(line, `${word} stands inside a part that began in line ${began}.`)
      section = word === 'BEGIN_DATA' ? 'data' : 'format'
      began = line
      if (section === 'data') openData(table, line)
      continue
    }
    if (word === 'END_DATA_FORMAT' || word === 'END_DATA') {
      if (section !== (word === 'END_DATA' ? 'data' : 'format')) throw badFile(line, `${word} stands alone.`)
      if (section === 'data') closeData(line)
      section = 'keywords'
      continue
    }
    if (section === 'data') dataLine(raw, line)
    else if (section === 'keywords') keyword(table, [...tokensOf(raw, line)], saidAs)
    else
      for (const { text: heading } of tokensOf(raw, line)) {
        if (table.headings.push(heading) > mostColumns)
          throw badFile(line, `there are more than ${mostColumns} columns.`)
      }
  }
  if (section !== 'keywords') throw badFile(lines.length, `the file ends inside the part that began in line ${began}.`)
  return { format: 'cgats', samples, saidAs: [...saidAs] }
}

type Table = {
  stated: Conditions
  headings: string[]
  columns: Column[]
  sets: number | null
  fields: number | null
  rows: number
}

const newTable = (): Table => ({
  stated: { ...nothingStated },
  headings: [],
  columns: [],
  sets: null,
  fields: null,
  rows: 0,
})

function openData(table: Table, line: number): void {
  if (table.headings.length === 0) throw badFile(line, 'the data come before anything says what their columns are.')
  if (table.fields !== null && table.fields !== table.headings.length)
    throw badFile(line, `the file announces ${table.fields} columns and names ${table.headings.length}.`)
  table.columns = table.headings.map(columnOf)
  checkColumns(table.columns, table.headings, line)
  // a table of something else (device values) is passed over
  if (!holdColour(table.columns)) table.columns = table.columns.map(() => null)
}

type Token = { text: string; line: number }

/** A comment, a text in quotes (those in it doubled), or a word. */
const nextToken = /#.*$|"((?:[^"]|""){0,20000})"|"|[^\s#"][^\s#]*/gy
const blank = /\s*/y

function* tokensOf(raw: string, line: number): Generator<Token> {
  let at = 0
  for (;;) {
    blank.lastIndex = at
    blank.exec(raw)
    nextToken.lastIndex = blank.lastIndex
    const found = nextToken.exec(raw)
    if (!found || found[0].startsWith('#')) return
    if (found[0] === '"') throw badFile(line, 'a text in quotes does not end.')
    at = nextToken.lastIndex
    yield { text: found[1]?.replaceAll('""', '"') ?? found[0], line }
  }
}

/** A cell between tabs: without its quotes, or whole where it has none. */
const wholeCell = (raw: string, first: string): string => (raw.trim().startsWith('"') ? first : raw.trim())

function keyword(table: Table, tokens: readonly Token[], saidAs: Set<string>): void {
  const [name, ...values] = tokens
  const value = values.map((token) => token.text).join(' ')
  const count = /^\d{1,9}$/.test(value) ? Number(value) : null
  const understood = (yes: boolean) => {
    if (!yes && value !== '') saidAs.add(value)
  }
  switch (name?.text.toUpperCase() ?? '') {
    case 'NUMBER_OF_SETS':
      table.sets = count
      break
    case 'NUMBER_OF_FIELDS':
      table.fields = count
      break
    case 'INSTRUMENTATION':
    case 'INSTRUMENT':
      takeCondition(table.stated, 'instrument', value)
      break
    case 'CREATED':
      takeCondition(table.stated, 'taken', value)
      break
    case 'MEASUREMENT_GEOMETRY':
      understood(takeCondition(table.stated, 'geometry', value))
      break
    case 'ILLUMINANT':
    case 'ILLUMINATION_NAME':
      understood(takeCondition(table.stated, 'illuminant', value))
      break
    case 'OBSERVER':
    case 'OBSERVER_ANGLE':
      understood(takeCondition(table.stated, 'observer', value))
      break
    case 'SPECTRAL_NORM':
      table.stated.scale = saidScale(value)
      break
    case 'WEIGHTING_FUNCTION':
      // "ILLUMINANT, D50" and "OBSERVER, 2 degree", each on its own line or both on one
      if (/illuminant/i.test(value)) table.stated.illuminant = saidIlluminant(value.replace(/observer.*/i, ''))
      if (/observer/i.test(value)) table.stated.observer = saidObserver(value.replace(/.*observer/i, ''))
      understood(/illuminant/i.test(value) ? table.stated.illuminant !== null : table.stated.observer !== null)
      break
    case 'MEASUREMENT_SOURCE':
      // the lamp inside the instrument; only where it says so, the light that the figures are for
      if (/observerangle=/i.test(value)) {
        table.stated.illuminant = saidIlluminant(/illumination=(\S+)/i.exec(value)?.[1] ?? '')
        table.stated.observer = saidObserver(/observerangle=(\S+)/i.exec(value)?.[1] ?? '')
      }
      break
    default:
    // the standard lets every program declare words of its own
  }
}
