/** Figures with units as they are typed and shown. Inside, records hold mm, mL, g, kPa and °C only. */

export type Decimal = 'comma' | 'point'
export type UnitSystem = 'metric' | 'us'

/** What is being measured. A tip is given in millimetres everywhere (common practice, no source). */
export type Measure = 'tip' | 'distance' | 'volume' | 'mass' | 'pressure' | 'temperature'

type Unit = {
  readonly shown: string
  readonly names: readonly string[]
  /** Value in the record's unit = (typed + offset) × factor. */
  readonly factor: number
  readonly offset?: number
}

const inch = 25.4
const poundG = 453.59237
const gallonMl = 231 * (inch / 10) ** 3
/** Pound-force per square inch: the pound × standard gravity (9.80665 m/s²) over a square inch, in kPa. */
const psiKpa = ((poundG / 1000) * 9.80665) / (inch / 1000) ** 2 / 1000

/**
 * Sources: NIST Special Publication 811 (2008), appendix B (inch, pound, psi, bar, degree Fahrenheit);
 * NIST Handbook 44, appendix C (US gallon of 231 cubic inches and its divisions, avoirdupois ounce = pound / 16).
 */
const length: readonly Unit[] = [
  { shown: 'mm', names: ['mm', 'millimetre', 'millimetres', 'millimeter', 'millimeters'], factor: 1 },
  { shown: 'cm', names: ['cm', 'centimetre', 'centimetres', 'centimeter', 'centimeters'], factor: 10 },
  { shown: 'm', names: ['m', 'metre', 'metres', 'meter', 'meters'], factor: 1000 },
  { shown: 'in', names: ['in', 'inch', 'inches', '"', '″', '”', "''"], factor: inch },
]
const units: Record<Measure, readonly Unit[]> = {
  tip: length,
  distance: length,
  volume: [
    {
      shown: 'mL',
      names: ['ml', 'cc', 'cm3', 'cm³', 'millilitre', 'millilitres', 'milliliter', 'milliliters'],
      factor: 1,
    },
    { shown: 'cL', names: ['cl', 'centilitre', 'centilitres', 'centiliter', 'centiliters'], factor: 10 },
    { shown: 'dL', names: ['dl', 'decilitre', 'decilitres', 'deciliter', 'deciliters'], factor: 100 },
    { shown: 'L', names: ['l', 'litre', 'litres', 'liter', 'liters'], factor: 1000 },
    { shown: 'fl oz', names: ['floz', 'oz', 'ounce', 'ounces', 'fluidounce', 'fluidounces'], factor: gallonMl / 128 },
    { shown: 'pt', names: ['pt', 'pint', 'pints'], factor: gallonMl / 8 },
    { shown: 'qt', names: ['qt', 'quart', 'quarts'], factor: gallonMl / 4 },
    { shown: 'gal', names: ['gal', 'gallon', 'gallons'], factor: gallonMl },
  ],
  mass: [
    { shown: 'g', names: ['g', 'gr', 'gram', 'grams', 'gramme', 'grammes'], factor: 1 },
    { shown: 'mg', names: ['mg', 'milligram', 'milligrams'], factor: 1 / 1000 },
    { shown: 'kg', names: ['kg', 'kilo', 'kilos', 'kilogram', 'kilograms'], factor: 1000 },
    { shown: 'oz', names: ['oz', 'ounce', 'ounces'], factor: poundG / 16 },
    { shown: 'lb', names: ['lb', 'lbs', 'pound', 'pounds'], factor: poundG },
  ],
  pressure: [
    { shown: 'kPa', names: ['kpa'], factor: 1 },
    { shown: 'bar', names: ['bar', 'bars'], factor: 100 },
    { shown: 'mbar', names: ['mbar', 'hpa'], factor: 1 / 10 },
    { shown: 'MPa', names: ['mpa'], factor: 1000 },
    { shown: 'psi', names: ['psi', 'psig', 'lb/in2', 'lbf/in2'], factor: psiKpa },
  ],
  temperature: [
    { shown: '°C', names: ['°c', 'c', '℃', 'degc', 'celsius', '°celsius'], factor: 1 },
    { shown: '°F', names: ['°f', 'f', '℉', 'degf', 'fahrenheit', '°fahrenheit'], factor: 5 / 9, offset: -32 },
  ],
}

const examples: Record<Measure, string> = {
  tip: '1.3 mm',
  distance: '150 mm or 6 in',
  volume: '100 mL, 3,5 cl or 3 1/2 oz',
  mass: '25 g or 1/2 oz',
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
      /** In the record's unit: mm, mL, g, kPa or °C. */
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
    volume: 'mL',
    mass: 'g',
    pressure: 'bar',
    temperature: '°C',
  }
  const us: Record<Measure, string> = {
    tip: 'mm',
    distance: 'in',
    volume: 'fl oz',
    mass: 'oz',
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
  const unit = units[measure].find((each) => each.shown === wanted || each.names.includes(wanted))
  if (!unit) return fail(`“${trimmed.slice(found.end).trim()}” is not a unit that fits here.`)
  const value = (typed + (unit.offset ?? 0)) * unit.factor
  if (measure !== 'temperature' && value <= 0) return fail('It has to be more than 0.')
  return { ok: true, value, unit: unit.shown, unitAssumed: name === '' }
}

/** Decimals that say what a gauge, a scale or a tape can tell. */
const decimals: Record<string, number> = {
  mm: 0,
  in: 1,
  mL: 1,
  'fl oz': 2,
  g: 1,
  oz: 2,
  bar: 2,
  psi: 1,
  '°C': 0,
  '°F': 0,
}

/** @param value in mm, mL, g, kPa or °C; @returns for example "1.10 bar", "16 psi", "150 mm", "1,3 mm" */
export function formatQuantity(value: number, measure: Measure, system: UnitSystem, decimal: Decimal): string {
  const shown = shownUnit(measure, system)
  const unit = units[measure].find((each) => each.shown === shown)
  if (!unit) throw new Error(`No unit ${shown} for ${measure}`)
  const figureShown = value / unit.factor - (unit.offset ?? 0)
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
