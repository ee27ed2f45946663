import { guardedText, type Separator } from '../read/csv.ts'

/**
 * A table as RFC 4180 writes it: quotes where a cell holds what would end it, lines that end with CR and LF. A cell that
 * a spreadsheet would run as a formula gets an apostrophe in front, which is taken off again on reading.
 */
export function writeTable(rows: readonly (readonly string[])[], separator: Separator): string {
  const lines = rows.map((cells) => cells.map((cell) => written(guardedText(cell), separator)).join(separator))
  // the mark in front tells spreadsheets that the text is UTF-8
  return `\uFEFF${lines.join('\r\n')}\r\n`
}

const written = (text: string, separator: Separator): string =>
  text.includes(separator) || /[",;\t\r\n]/.test(text) || text !== text.trim()
    ? `"${text.replaceAll('"', '""')}"`
    : text

/** Three panels under every heading that most notebooks need. Invented. */
const model: readonly (readonly string[])[] = [
  [
    'Code',
    'Title',
    'Ground',
    'Formula',
    'Coats',
    'Cleared',
    'Clear',
    'Sprayed on',
    'By',
    'Substrate',
    'Gun',
    'Tip mm',
    'Pressure bar',
    'Tags',
    'Notes',
  ],
  [
    'A-001',
    'Dusk plum',
    'bright silver',
    '4 parts Damson : 1 part Bracken in 6:1 carrier, by volume, 10 % slow reducer on top',
    '2-4',
    'yes',
    'gloss clear',
    '2024-05-17',
    'Wren',
    'aluminium 100 × 150',
    'HL-3',
    '1.3',
    '1.1',
    'plum; show',
    'wipes clean, a little dry at the left edge',
  ],
  [
    'A-002',
    'Peat glow',
    'fine gold',
    'Bracken in 6:1 carrier, by volume',
    '4',
    'no',
    '',
    '18 May 2024',
    'Wren',
    'aluminium 100 × 150',
    'HL-3',
    '1.3',
    '1.1',
    '',
    '',
  ],
  [
    '',
    '',
    'charcoal',
    '3 Damson : 2 Saffron in 5:1 carrier, by volume',
    '2 cross',
    'yes',
    'gloss clear',
    '2024-06-02',
    'Ida',
    'steel',
    '',
    '',
    '',
    '',
    'an empty code: the rack gives the next one',
  ],
]

const commas = new Set(['Tip mm', 'Pressure bar'])

/** An example with the columns that are understood, as a spreadsheet of the painter's language opens it. */
export function writeModel(decimal: 'comma' | 'point'): string {
  const [headings = []] = model
  const rows = model.map((cells) =>
    cells.map((cell, i) => (decimal === 'comma' && commas.has(headings[i] ?? '') ? cell.replace('.', ',') : cell)),
  )
  return writeTable(rows, decimal === 'comma' ? ';' : ',')
}
