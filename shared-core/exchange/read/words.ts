import { Illuminant, type Observer } from '../../records/colour.ts'
import type { Conditions, InstrumentGeometry, Scale, Stated } from '../measured.ts'

/** Reads the words with which files and people state light, observer, geometry and figures. */

/** Other names of the same illuminants (CIE 15 calls the lamps FL; the trade's own names are common practice, no source). */
const alias: Readonly<Record<string, Illuminant>> = {
  FL2: 'F2',
  F02: 'F2',
  CWF: 'F2',
  FL11: 'F11',
  TL84: 'F11',
  LEDB3: 'LED-B3',
}
/** Illuminants that CIE 15 names and a reading cannot hold. */
const otherIlluminant = /^(B|E|D\d\d|FL?\d{1,2}|FL3[.]\d+|HP\d|ID\d\d|LED[-_]?[A-Z0-9]{1,5})$/

/** "D50", "CIE D65", "illuminant A", "FL11", also "D65/10°". */
export function saidIlluminant(text: string): Stated<Illuminant> | null {
  const words = text
    .toUpperCase()
    .replaceAll(/STANDARD|CIE|ILLUMINANT|ILLUMINATION|LIGHT/g, ' ')
    .split(/[\s,;:/=()]+/)
    .filter(Boolean)
  for (const word of words) {
    const known = Illuminant.options.find((one) => one === word) ?? alias[word.replaceAll(/[-_]/g, '')]
    if (known) return { is: known }
    if (otherIlluminant.test(word)) return { other: word }
  }
  return null
}

/** "2", "2°", "2 degree", "10_Degree", "CIE 1931", "1964". */
export function saidObserver(text: string): Stated<Observer> | null {
  if (text.includes('1931')) return { is: '2' }
  if (text.includes('1964')) return { is: '10' }
  const degrees = /(?:^|[^\d.])(2|10)(?:[.,]0+)?\s*(?:°|_?deg|$|[\s,;/)])/i.exec(` ${text.trim()}`)?.[1]
  return degrees === '2' || degrees === '10' ? { is: degrees } : null
}

/** Geometry and, for an instrument of several angles, the aspecular angle. */
export function saidGeometry(text: string): Pick<Conditions, 'geometry' | 'aspecularDeg'> {
  const said = text.toLowerCase().replaceAll(/[°\s_]|degrees?|deg\b/g, '')
  const angle = /as[:=]?(-?\d+(?:[.]\d+)?)/.exec(said)?.[1]
  if (/camera|photo/.test(said)) return { geometry: { other: 'camera' }, aspecularDeg: numberOrNull(angle) }
  if (angle !== undefined) return { geometry: { is: 'multi-angle' }, aspecularDeg: Number(angle) }
  return { geometry: fixedGeometry(said), aspecularDeg: null }
}

const numberOrNull = (text: string | undefined): number | null => (text === undefined ? null : Number(text))

function fixedGeometry(said: string): Stated<InstrumentGeometry> | null {
  if (/multi-?angle|gonio/.test(said)) return { is: 'multi-angle' }
  if (/^45[a-z]{0,2}[:/]0/.test(said)) return { is: '45:0' }
  if (/^0[:/]45/.test(said)) return { is: '0:45' }
  if (/sce|spex|exclu|^de[:/]8|8[:/]de/.test(said)) return { is: 'd:8-excluded' }
  if (/sci|spin|inclu|^di[:/]8|8[:/]di/.test(said)) return { is: 'd:8-included' }
  // a light and a direction, but none that a reading can hold
  const angles = /^(\d{1,2})[:/](-?\d{1,3})$/.exec(said)
  return angles ? { other: `${angles[1]}°:${angles[2]}°` } : null
}

/** An aspecular angle: "15", "as15", "45as-15", "15°". */
export function saidAngle(text: string): number | null {
  const found =
    /as[:=]?\s*(-?\d+(?:[.,]\d+)?)/i.exec(text)?.[1] ?? /^\s*(-?\d+(?:[.,]\d+)?)\s*(?:°|deg.*)?$/i.exec(text)?.[1]
  return found === undefined ? null : Number(found.replace(',', '.'))
}

/** "0-1", "1", "decimal" against "%", "percent", "100". */
export function saidScale(text: string): Scale | null {
  const said = text.trim().toLowerCase()
  if (/^(%|percent.*|0?\s*[-–.]*\s*100([.]0+)?)$/.test(said)) return 'percent'
  return /^(fraction|factor|decimal|0?\s*[-–.]*\s*1([.]0+)?)$/.test(said) ? 'fraction' : null
}

/** ISO 8601 day or moment; other ways of writing a date say too little about which number is the month. */
export function saidMoment(text: string): string | null {
  const said = /\d{4}-\d{2}-\d{2}(?:[T ]\d{2}:\d{2}(?::\d{2}(?:[.]\d+)?)?(?:Z|[+-]\d{2}:?\d{2})?)?/.exec(text)?.[0]
  if (said === undefined) return null
  const moment = new Date(said.includes('T') ? said : said.replace(' ', 'T'))
  return Number.isNaN(moment.getTime()) ? null : moment.toISOString()
}

const figure = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?$/

/**
 * A figure with its decimal sign as the file writes it.
 * @returns null for what is no figure, also "NaN", "inf", "1.234,5" and figures beyond what a computer holds
 */
export function parseFigure(text: string, decimal: 'point' | 'comma'): number | null {
  const plain = text.trim().replace('−', '-')
  if (!figure.test(plain) || plain.includes(decimal === 'comma' ? '.' : ',')) return null
  const value = Number(plain.replace(',', '.'))
  return Number.isFinite(value) ? value : null
}
