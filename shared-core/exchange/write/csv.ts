import { guardedText, type Separator } from '../read/csv.ts'
import { angleOf, type ExportRow, geometryWords, labFigure, reflectanceFigure, wavelengths } from './rows.ts'

/** How a spreadsheet in the painter's language keeps columns and digits apart. */
export type CsvWording = { decimal: 'comma' | 'point' }

/** One line for each reading; wavelengths of all readings are columns, empty where a reading has no such value. */
export function writeCsv(rows: readonly ExportRow[], { decimal }: CsvWording): string {
  const separator: Separator = decimal === 'comma' ? ';' : ','
  const bands = [...new Set(rows.flatMap((row) => (row.spectrum ? wavelengths(row.spectrum) : [])))].toSorted(
    (a, b) => Number(a) - Number(b),
  )
  const figure = (text: string) => (decimal === 'comma' ? text.replace('.', ',') : text)
  const text = (said: string) => cell(guardedText(said), separator)
  const headings = [
    'Name',
    'L*',
    'a*',
    'b*',
    'Illuminant',
    'Observer',
    'Geometry',
    'Aspecular angle',
    '± dE00, 90 %',
    'Got by',
    'Taken of it',
    'Instrument',
    'Taken',
    ...(bands.length === 0 ? [] : ['Reflectance scale']),
    ...bands.map((nm) => `${nm} nm`),
  ]
  const lines = rows.map((row) => {
    const values = new Map(row.spectrum ? wavelengths(row.spectrum).map((nm, i) => [nm, row.spectrum?.values[i]]) : [])
    const angle = angleOf(row)
    return [
      text(row.name),
      ...[row.lab.l, row.lab.a, row.lab.b].map((value) => figure(labFigure(value))),
      row.illuminant,
      `${row.observer}°`,
      text(geometryWords(row)),
      angle === null ? '' : String(angle),
      figure(row.bound90.toFixed(2)),
      row.level,
      row.stage,
      text(row.instrument ?? ''),
      row.takenAt,
      ...(bands.length === 0 ? [] : [row.spectrum ? '0-1' : '']),
      ...bands.map((nm) => {
        const value = values.get(nm)
        return value === undefined ? '' : figure(reflectanceFigure(value))
      }),
    ].join(separator)
  })
  // the mark in front tells spreadsheets that the text is UTF-8
  return `\uFEFF${[headings.map((heading) => cell(heading, separator)).join(separator), ...lines].join('\r\n')}\r\n`
}

/** RFC 4180: quotes where a cell holds what would end it, here or in a spreadsheet of another language. */
const cell = (text: string, separator: Separator): string =>
  text.includes(separator) || /[",;\t\r\n]/.test(text) || text !== text.trim()
    ? `"${text.replaceAll('"', '""')}"`
    : text
