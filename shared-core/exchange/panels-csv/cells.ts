import { parseNumber } from '../../mix/units.ts'

/** A cell understood, or why it is not. */
export type Cell<T> = { ok: true; value: T } | { ok: false; message: string; remedy: string }

export const understood = <T>(value: T): Cell<T> => ({ ok: true, value })
export const notUnderstood = (message: string, remedy: string): { ok: false; message: string; remedy: string } => ({
  ok: false,
  message,
  remedy,
})

export const short = (cell: string): string => (cell.length > 60 ? `${cell.slice(0, 57)}…` : cell)

/** No figure, day or list of coats takes so many letters; patterns with several blanks in them would go through a longer one again and again. */
const mostLetters = 200

const yes = new Set(['y', 'yes', 'x', '✓', '✔', 'true', '1', 'cleared', 'done', '2k'])
const no = new Set(['n', 'no', '-', '–', '—', 'false', '0', 'none', 'not', 'uncleared', 'not cleared'])

export function yesOrNo(cell: string): boolean | null {
  const said = cell.trim().toLowerCase()
  return yes.has(said) ? true : no.has(said) ? false : null
}

export type DecimalSign = 'comma' | 'point'

/** A figure that may be a thousand or a decimal: "1,250". */
const mayBeThousands = /^[-−+]?\d{1,3}[.,]\d{3}(?!\d)/u

/**
 * The decimal sign that the figures of a table show.
 * @returns `both` where they contradict each other, `open` where each figure with a comma may mean thousands, null where
 *          none has either sign
 */
export function decimalShown(figures: Iterable<string>): DecimalSign | 'both' | 'open' | null {
  let [comma, point, open] = [false, false, false]
  for (const figure of figures) {
    const text = figure.trim()
    if (/\d[.,]\d.*[.,]\d/u.test(text)) continue
    if (/\d,\d/u.test(text)) {
      if (mayBeThousands.test(text)) open = true
      else comma = true
    } else if (/\d\.\d/u.test(text)) point = true
  }
  if (comma && point) return 'both'
  if (comma) return 'comma'
  // a point elsewhere makes a comma before three figures no surer
  if (open) return 'open'
  return point ? 'point' : null
}

/** A figure, with a unit or word after it that `tail` lets through. */
export function figureOf(cell: string, decimal: DecimalSign, tail: RegExp = /^$/): Cell<number> {
  const text = cell.slice(0, mostLetters).trim().replaceAll('\u00A0', ' ')
  const found = cell.length > mostLetters ? null : /^([-−+]?\s?[\d.,/⁄ ½⅓⅔¼¾⅛⅜⅝⅞]*[\d½⅓⅔¼¾⅛⅜⅝⅞])\s*(.*)$/u.exec(text)
  const other = decimal === 'comma' ? '.' : ','
  const example = decimal === 'comma' ? '3,5' : '3.5'
  if (!found || !tail.test((found[2] ?? '').trim().toLowerCase()))
    return notUnderstood(`“${short(cell)}” is no figure.`, `Write it like 4 or ${example}.`)
  if (found[1]?.includes(other))
    return notUnderstood(
      `“${short(cell)}” has another decimal sign than this table.`,
      `Write it like ${example}, or say above which sign the table uses.`,
    )
  const value = parseNumber(found[1] ?? '')
  return value === null
    ? notUnderstood(`“${short(cell)}” is no figure.`, `Write it like 4 or ${example}.`)
    : understood(value)
}

const months = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
const figuresOnly = /^(\d{1,2})\s*[-/. ]\s*(\d{1,2})\s*[-/. ]\s*(\d{4}|\d{2})(?:[T ]+\d{1,2}:\d{2}.*)?$/

export type DateOrder = 'day-first' | 'month-first'

/** The order that a date of figures shows by itself: one figure over 12 is the day. */
export function orderShown(cell: string): DateOrder | 'open' | null {
  const found = figuresOnly.exec(cell.trim())
  if (!found) return null
  const [first, second] = [Number(found[1]), Number(found[2])]
  if (first > 12 && second <= 12) return 'day-first'
  if (second > 12 && first <= 12) return 'month-first'
  return first === second ? null : 'open'
}

/**
 * A day, as ISO 8601 writes it.
 * @param order  of dates in figures; null where it is not known: such a date is then not understood
 * @param today  decides the century of a year in two figures, which is never ahead of it by more than a year
 */
export function dayOf(cell: string, order: DateOrder | null, today: string): Cell<string> {
  const text = cell.trim()
  const iso = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]+\d{1,2}:\d{2}.*)?$/.exec(text)
  if (iso) return whole(cell, Number(iso[1]), Number(iso[2]), Number(iso[3]))
  const named =
    /^(\d{1,2})(?:st|nd|rd|th)?[\s.\-/]*([a-z]{3,9})\.?[\s,.\-/]*(\d{4}|\d{2})$/i.exec(text) ??
    swapped(/^([a-z]{3,9})\.?[\s.\-/]*(\d{1,2})(?:st|nd|rd|th)?[\s,.\-/]+(\d{4}|\d{2})$/i.exec(text))
  if (named) {
    const month = months.indexOf((named[2] ?? '').slice(0, 3).toLowerCase()) + 1
    if (month > 0) return whole(cell, yearOf(named[3] ?? '', today), month, Number(named[1]))
  }
  const figures = figuresOnly.exec(text)
  if (figures) {
    const shown = order ?? orderShown(text)
    const [first, second] = [Number(figures[1]), Number(figures[2])]
    const year = yearOf(figures[3] ?? '', today)
    if (first === second) return whole(cell, year, first, second)
    if (shown === 'day-first') return whole(cell, year, second, first)
    if (shown === 'month-first') return whole(cell, year, first, second)
    return notUnderstood(`“${short(cell)}” may be read two ways.`, 'Say whether the day or the month comes first.')
  }
  if (/^\d{5}$/.test(text))
    return notUnderstood(
      `“${text}” is a spreadsheet’s own count of days.`,
      'Format the column as a date in the spreadsheet and save the CSV again.',
    )
  if (/^(?:[a-z]{3,9}\.?\s*)?\d{4}$/i.test(text))
    return notUnderstood(`“${short(cell)}” is not a whole day.`, 'Write the day too, or leave the cell empty.')
  return notUnderstood(`“${short(cell)}” is no date.`, 'Write it like 2024-05-17 or 17 May 2024.')
}

const swapped = (found: RegExpExecArray | null): string[] | null =>
  found && [found[0], found[2] ?? '', found[1] ?? '', found[3] ?? '']

function yearOf(text: string, today: string): number {
  if (text.length === 4) return Number(text)
  const now = Number(today.slice(0, 4))
  const inThis = Math.floor(now / 100) * 100 + Number(text)
  return inThis > now + 1 ? inThis - 100 : inThis
}

function whole(cell: string, year: number, month: number, day: number): Cell<string> {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0
  if (day < 1 || day > days || year < 1900)
    return notUnderstood(`“${short(cell)}” is a day that there is not.`, 'Write it like 2024-05-17 or 17 May 2024.')
  return understood(`${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`)
}

const coatsRemedy = 'Write it like 4, 2-6 (each step from two to six), 2; 4; 6, or “2 cross” (which is four).'

/**
 * Coats of the steps, in the order written: "4", "2-6" (steps of 2, 3, 4, 5, 6), "2,4,6", "2 cross coats" or "2x" (a cross
 * coat is two), "2x + 1".
 * @param decimal  of the table; where it is not known, "1,5" is not understood
 */
export function coatsOf(cell: string, decimal: DecimalSign | null): Cell<number[]> {
  if (cell.length > mostLetters) return notUnderstood(`“${short(cell)}” is no number of coats.`, coatsRemedy)
  const text = cell
    .trim()
    .toLowerCase()
    .replaceAll(/\b(of candy|candy|wet|medium|coats?|cts?)\b/gu, ' ')
    .replaceAll(/\s*\+\s*/gu, '+')
    .trim()
  const range = /^(\d+)\s*(?:-|–|—|to|\.\.)\s*(\d+)$/u.exec(text)
  if (range) {
    const [from, to] = [Number(range[1]), Number(range[2])]
    if (Math.abs(to - from) >= 40) return notUnderstood(`“${short(cell)}” is more than 40 steps.`, coatsRemedy)
    return withinLimits(
      cell,
      Array.from({ length: Math.abs(to - from) + 1 }, (_, i) => from + (to >= from ? i : -i)),
    )
  }
  const pair = /^(\d+),(\d+)$/u.exec(text)
  if (pair) {
    const half = pair[2] === '5'
    if (half && decimal === null)
      return notUnderstood(
        `“${short(cell)}” may be one number or two steps.`,
        `Write “${pair[1]}; ${pair[2]}” for two steps, or “${pair[1]}.${pair[2]}”.`,
      )
    if (half && decimal === 'comma') return withinLimits(cell, [Number(`${pair[1]}.${pair[2]}`)])
    return withinLimits(cell, [Number(pair[1]), Number(pair[2])])
  }
  const parts = text.split(/\s*(?:[;/|&,]|\band\b)\s*|\s+(?=\d)/u).filter((part) => part !== '')
  if (parts.length === 0) return notUnderstood(`“${short(cell)}” is no number of coats.`, coatsRemedy)
  const steps: number[] = []
  for (const part of parts) {
    const sum = sumOfCoats(part)
    if (sum === null) return notUnderstood(`“${short(cell)}” is no number of coats.`, coatsRemedy)
    steps.push(sum)
  }
  return withinLimits(cell, steps)
}

/** "2x + 1" is five. */
function sumOfCoats(text: string): number | null {
  let sum = 0
  for (const part of text.split('+')) {
    const found = /^\s*(\d+(?:\.\d+)?|½|\d+½)?\s*(x|×|xc|cross|crosses|double)?\s*$/u.exec(part)
    if (!found || (found[1] === undefined && found[2] === undefined)) return null
    const count = found[1] === undefined ? 1 : parseNumber(found[1])
    if (count === null) return null
    sum += count * (found[2] === undefined ? 1 : 2)
  }
  return sum
}

function withinLimits(cell: string, steps: number[]): Cell<number[]> {
  if (steps.some((coats) => coats > 60))
    return notUnderstood(`“${short(cell)}” is more than 60 coats.`, 'Write how many coats were sprayed.')
  if (new Set(steps).size < steps.length)
    return notUnderstood(`“${short(cell)}” names one number of coats twice.`, coatsRemedy)
  if (steps.length > 40) return notUnderstood(`“${short(cell)}” is more than 40 steps.`, coatsRemedy)
  return understood(steps)
}
