import type { NotebookQuestion } from '../../../shared-core/contract/panels-csv-calls.ts'
import type { ColumnUse, NotebookAnswers, Separating } from '../../../shared-core/records/notebook.ts'
import { illuminantInWords, instrumentGeometries, observerInWords } from '../../parts/standards-in-words.ts'

/** What a column can be, as it is chosen from a list. */
export const usesInGroups: readonly { group: string; uses: readonly [ColumnUse, string][] }[] = [
  {
    group: 'The panel',
    uses: [
      ['code', 'code'],
      ['title', 'title'],
      ['sprayed-on', 'day it was sprayed'],
      ['sprayed-by', 'who sprayed it'],
      ['substrate', 'substrate'],
      ['status', 'status'],
      ['tags', 'tags'],
      ['notes', 'notes'],
    ],
  },
  {
    group: 'Its build',
    uses: [
      ['sealer', 'sealer'],
      ['undercoat', 'undercoat'],
      ['ground', 'ground'],
      ['coats', 'coats of candy'],
      ['mid-coat', 'mid coat'],
      ['cleared', 'cleared: yes or no'],
      ['clear-name', 'name of the clear'],
    ],
  },
  {
    group: 'The candy',
    uses: [
      ['formula', 'formula in words'],
      ['candy', 'concentrate'],
      ['parts', 'concentrate’s parts'],
      ['named-parts', 'its heading’s parts'],
      ['carrier', 'carrier'],
      ['carrier-parts', 'carrier’s parts'],
      ['reducer', 'reducer %'],
      ['hardener', 'hardener %'],
    ],
  },
  {
    group: 'Gun and booth',
    uses: [
      ['gun', 'gun'],
      ['tip', 'tip'],
      ['pressure', 'pressure at the inlet'],
      ['distance', 'distance'],
      ['overlap', 'overlap'],
      ['temperature', 'temperature'],
      ['humidity', 'humidity'],
      ['flash-off', 'minutes between coats'],
    ],
  },
  {
    group: 'Colour in figures',
    uses: [
      ['lab-l', 'L*'],
      ['lab-a', 'a*'],
      ['lab-b', 'b*'],
      ['bound', '± in dE00'],
    ],
  },
]

export const separatorInWords: Record<Separating, string> = { comma: 'commas', semicolon: 'semicolons', tab: 'tabs' }

type Choice = { question: (example: string) => string; where: string; choices: Record<string, string> }

/** Questions with a few answers; how many coats is asked for as a figure. */
export const questionsInWords: Record<Exclude<keyof NotebookAnswers, 'coats' | 'separator' | 'headings'>, Choice> = {
  dates: {
    question: (example) => `Which comes first in dates like “${example}”?`,
    where: 'Every date that can be read two ways is read so.',
    choices: { 'day-first': 'the day', 'month-first': 'the month' },
  },
  decimal: {
    question: (example) => `What is “${example}”?`,
    where: 'Which sign the figures of this table have before their decimals.',
    choices: { comma: 'the comma is the decimal sign', point: 'the point is the decimal sign' },
  },
  basis: {
    question: () => 'Are parts by volume or by mass?',
    where: 'The formulas do not say it themselves.',
    choices: { volume: 'by volume', mass: 'by mass' },
  },
  carrier: {
    question: (example) => `What does “${example}” mean?`,
    where: 'Beside several parts of candy it can be read two ways.',
    choices: { 'to-one-of-blend': 'to one part of the blend', 'same-parts': 'in the same parts as the candies' },
  },
  pressure: {
    question: (example) => `In which unit is a pressure of “${example}”?`,
    where: 'At the gun’s inlet with the trigger pulled.',
    choices: { bar: 'bar', psi: 'psi', kPa: 'kPa' },
  },
  distance: {
    question: (example) => `In which unit is a distance of “${example}”?`,
    where: 'From the gun to the panel.',
    choices: { mm: 'mm', cm: 'cm', in: 'inches' },
  },
  temperature: {
    question: (example) => `In which unit is “${example}”?`,
    where: 'Temperature in the booth.',
    choices: { '°C': '°C', '°F': '°F' },
  },
  illuminant: {
    question: () => 'For which light are L*, a* and b*?',
    where: 'The illuminant set in the instrument or program they come from.',
    choices: illuminantInWords,
  },
  observer: {
    question: () => 'For which observer?',
    where: 'Set beside the illuminant, often as D65/10°.',
    choices: observerInWords,
  },
  geometry: {
    question: () => 'How did the instrument look at the paint?',
    where: 'It stands in its manual, often on the instrument.',
    choices: instrumentGeometries,
  },
  labStep: {
    question: (example) => `Which step has the one colour of ${example}?`,
    where: 'Some rows have several steps and one L*, a*, b*.',
    choices: { most: 'the one with most coats', fewest: 'the one with fewest coats' },
  },
}

/** In the order in which they are settled. */
export const asksInOrder: readonly NotebookQuestion['ask'][] = [
  'decimal',
  'dates',
  'basis',
  'carrier',
  'coats',
  'pressure',
  'distance',
  'temperature',
  'labStep',
  'illuminant',
  'observer',
  'geometry',
]

export const countOf = (count: number, one: string, several = `${one}s`): string =>
  count === 1 ? `1 ${one}` : `${count.toLocaleString('en-GB')} ${several}`

/** "Row 12", "Rows 12, 15, 18 and 40 more". */
export function rowsInWords(rows: readonly number[], count: number): string {
  const named = rows.slice(0, 6)
  const more = count - named.length
  return `${count === 1 ? 'Row' : 'Rows'} ${named.join(', ')}${more > 0 ? ` and ${more.toLocaleString('en-GB')} more` : ''}`
}
