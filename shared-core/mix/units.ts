/** Figures with units as they are typed and shown. Inside, records hold mm, m², µm, mL, g, kg/L, kPa and °C only. */
import { fromNumber, toNumber } from './rational.ts'
import { findUnit, type Measure, toRecord } from './units/unit-table.ts'

export type { Measure } from './units/unit-table.ts'
export type Decimal = 'comma' | 'point'
export type UnitSystem = 'metric' | 'us'

const examples: Record<Measure, string> = {
  tip: '1.3 mm',
  distance: '150 mm or 6 in',
  area: '0.8 m², 4500 cm² or 9 ft²',
  thickness: '12 µm or 0.5 mil',
  volume: '100 mL, 3,5 cl or 3 1/2 oz',
  mass: '25 g or 1/2 oz',
  density: '0.95 kg/L or 8 lb/gal',
  pressure: '1.1 bar or 16 psi',
  temperature: '21 °C or 70 °F',
}

const vulgar: Record<string, number> = {
  '½': 1 / 2,
  '⅓': 1 / 3,
  '⅔': 2 / 3,
  '¼': 1 / 4,
  '¾': 3 / 4,
  '⅕': 1 / 5,
  '⅖': 2 / 5,
  '⅗': 3 / 5,
  '⅘': 4 / 5,
  '⅙': 1 / 6,
  '⅚': 5 / 6,
  '⅛': 1 / 8,
  '⅜': 3 / 8,
  '⅝': 5 / 8,
  '⅞': 7 / 8,
}
const vulgarSigns = Object.keys(vulgar).join('')
// Longest forms first: "3 1/2", "3½", "1/2", "½", "3,5" and "3.5".
const figure = new RegExp(
  String.raw`(\d+)\s+(\d+)[/⁄](\d+)(?!\d)|(\d+)\s?([${vulgarSigns}])|(\d+)[/⁄](\d+)(?!\d)|([${vulgarSigns}])|(\d+(?:[.,]\d+)?|[.,]\d+)`,
  'uy',
)

/**
 * The number that starts at `at`: decimals with comma or point, fractions and mixed fractions. No thousands marks: "1,500"
 * is one and a half.
 * @returns its value and where it ends, or null when no number starts there (also for a fraction over 0)
 */
export function readNumber(text: string, at: number): { value: number; end: number } | null {
  figure.lastIndex = at
  const found = figure.exec(text)
  if (!found) return null
  const [all, whole, over, under, wholeSign, sign, simpleOver, simpleUnder, lone, decimal] = found
  const value =
    whole !== undefined
      ? Number(whole) + Number(over) / Number(under)
      : sign !== undefined
        ? Number(wholeSign) + (vulgar[sign] ?? Number.NaN)
        : simpleOver !== undefined
          ? Number(simpleOver) / Number(simpleUnder)
          : lone !== undefined
            ? (vulgar[lone] ?? Number.NaN)
            : Number((decimal ?? '').replace(',', '.'))
  return Number.isFinite(value) ? { value, end: at + all.length } : null
}

/** A whole field as a number: "3,5", "3.5", "1/2", "3 1/2", "½", with a sign in front; null when it is anything else. */
export function parseNumber(text: string): number | null {
  const trimmed = text.trim()
  const signed = /^[-−+]\s?/u.exec(trimmed)?.[0] ?? ''
  const found = readNumber(trimmed, signed.length)
  if (!found || found.end !== trimmed.length) return null
  return signed.startsWith('-') || signed.startsWith('−') ? -found.value : found.value
}

/** With exactly `digits` decimals and a true minus sign; never "-0". */
export function formatNumber(value: number, digits: number, decimal: Decimal): string {
  const fixed = Math.abs(value).toFixed(digits)
  const sign = value < 0 && Number(fixed) !== 0 ? '−' : ''
  return sign + (decimal === 'comma' ? fixed.replace('.', ',') : fixed)
}

/** With at most `digits` decimals: zeros at the end are left out. */
export function formatShort(value: number, digits: number, decimal: Decimal): string {
  const fixed = formatNumber(value, digits, 'point')
  const short = fixed.includes('.') ? fixed.replace(/\.?0+$/u, '') : fixed
  return decimal === 'comma' ? short.replace('.', ',') : short
}

export type TypedQuantity =
  | {
      ok: true
      /** In the record's unit: mm, m², µm, mL, g, kg/L, kPa or °C. */
      value: number
      /** The unit that was typed or taken. */
      unit: string
      /** No unit was typed: the field's own was taken. */
      unitAssumed: boolean
    }
  | { ok: false; message: string; remedy: string }

/** The unit in which a measure is shown: bar and mm, or psi and inches. */
export function shownUnit(measure: Measure, system: UnitSystem): string {
  const metric: Record<Measure, string> = {
    tip: 'mm',
    distance: 'mm',
    area: 'm²',
    thickness: 'µm',
    volume: 'mL',
    mass: 'g',
    density: 'kg/L',
    pressure: 'bar',
    temperature: '°C',
  }
  const us: Record<Measure, string> = {
    tip: 'mm',
    distance: 'in',
    area: 'ft²',
    thickness: 'mil',
    volume: 'fl oz',
    mass: 'oz',
    density: 'lb/gal',
    pressure: 'psi',
    temperature: '°F',
  }
  return (system === 'us' ? us : metric)[measure]
}

/**
 * A typed quantity: "3 1/2 oz", "3,5 cl", "100ml", "16 psi", "1.1 bar", "1.3 mm", "6 in", "70 °F". An ounce is a US fluid
 * ounce where a volume is asked for, and an avoirdupois ounce where a mass is. A bare number takes the unit in which the
 * field is shown.
 */
export function parseQuantity(text: string, measure: Measure, system: UnitSystem): TypedQuantity {
  const fail = (message: string): TypedQuantity => ({
    ok: false,
    message,
    remedy: `Write it like ${examples[measure]}.`,
  })
  const trimmed = text.trim()
  const signed = /^[-−]\s?/u.exec(trimmed)?.[0] ?? ''
  const found = readNumber(trimmed, signed.length)
  if (!found) return fail(trimmed === '' ? 'Nothing was typed.' : `“${trimmed}” does not start with a number.`)
  const typed = signed === '' ? found.value : -found.value
  const name = trimmed
    .slice(found.end)
    .replaceAll(/[\s.]+/gu, '')
    .toLowerCase()
  const wanted = name === '' ? shownUnit(measure, system) : name
  const unit = findUnit(measure, wanted)
  if (!unit) return fail(`“${trimmed.slice(found.end).trim()}” is not a unit that fits here.`)
  const value = toNumber(toRecord(fromNumber(typed), measure, unit.shown))
  if (measure !== 'temperature' && value <= 0) return fail('It has to be more than 0.')
  return { ok: true, value, unit: unit.shown, unitAssumed: name === '' }
}

/** Decimals that say what a gauge, a scale or a tape can tell. */
const decimals: Record<string, number> = {
  mm: 0,
  in: 1,
  'm²': 3,
  'ft²': 2,
  µm: 1,
  mil: 2,
  mL: 1,
  'fl oz': 2,
  g: 1,
  oz: 2,
  'kg/L': 3,
  'lb/gal': 2,
  bar: 2,
  psi: 1,
  '°C': 0,
  '°F': 0,
}

/** @param value in the record's unit, see `unitTable`; @returns for example "1.10 bar", "16 psi", "150 mm", "1,3 mm" */
export function formatQuantity(value: number, measure: Measure, system: UnitSystem, decimal: Decimal): string {
  const shown = shownUnit(measure, system)
  const unit = findUnit(measure, shown)
  if (!unit) throw new Error(`No unit ${shown} for ${measure}`)
  // A figure for reading may be a double, and need not be finite.
  const figureShown = value / toNumber(unit.factor) - toNumber(unit.offset)
  if (shown === 'bar') return `${formatNumber(figureShown, 2, decimal)} bar`
  return `${formatShort(figureShown, measure === 'tip' ? 2 : (decimals[shown] ?? 1), decimal)} ${shown}`
}

export type DayOrder = 'day-first' | 'month-first'

/**
 * A typed day: "2031-03-14" always, "14.3.2031" always with the day first, "3/14/2031" in the order given.
 * @returns ISO 8601 day, or null when there is no such day
 */
export function parseDay(text: string, order: DayOrder): string | null {
  const iso = /^(\d{4})-(\d{1,2})-(\d{1,2})$/u.exec(text.trim())
  const dotted = /^(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})$/u.exec(text.trim())
  const slashed = /^(\d{1,2})[/-](\d{1,2})[/-](\d{4})$/u.exec(text.trim())
  const found = iso
    ? [iso[1], iso[2], iso[3]]
    : dotted
      ? [dotted[3], dotted[2], dotted[1]]
      : slashed && order === 'day-first'
        ? [slashed[3], slashed[2], slashed[1]]
        : slashed && [slashed[3], slashed[1], slashed[2]]
  if (!found) return null
  const [year = 0, month = 0, day = 0] = found.map(Number)
  const date = new Date(Date.UTC(year, month - 1, day))
  if (date.getUTCFullYear() !== year || date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day) return null
  return `${String(year).padStart(4, '0')}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`
}
