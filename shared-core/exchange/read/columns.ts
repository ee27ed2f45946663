import { badFile, type Conditions, type Measure, type Scale } from '../measured.ts'
import { saidAngle, saidGeometry, saidIlluminant, saidMoment, saidObserver, saidScale } from './words.ts'

type LabPart = 'l' | 'a' | 'b' | 'c' | 'h'
type ConditionName = 'illuminant' | 'observer' | 'geometry' | 'angle' | 'scale' | 'instrument' | 'taken'

/** What a column of a table is. `angle` where its heading names one ("L 15°"). */
export type Column =
  | { is: 'name' }
  | { is: 'id' }
  | { is: 'lab'; part: LabPart; angle: number | null }
  | { is: 'band'; nm: number; scale: Scale | null }
  | { is: 'condition'; name: ConditionName }
  | null

const conditionNames: ReadonlyArray<readonly [RegExp, ConditionName]> = [
  [/^(illuminant|illumination|light ?source)/, 'illuminant'],
  [/^(standard )?observer/, 'observer'],
  [/^(measurement )?geometry/, 'geometry'],
  [/^(aspecular|angle|aspecular angle)( deg)?$/, 'angle'],
  [/^(reflectance )?scale$/, 'scale'],
  [/^(instrument|device|spectrophotometer)( name| model)?$/, 'instrument'],
  [/^(created|taken|measured|date|time|date time|measurement date|timestamp)( at| on)?$/, 'taken'],
]

/** What a heading of CGATS.17, or of a spreadsheet, stands for. */
export function columnOf(heading: string): Column {
  const words = heading
    .slice(0, 80)
    .trim()
    .toLowerCase()

    .replaceAll(/[_()[\]]+/g, ' ')
    .replaceAll(/\s+/g, ' ')
    .trim()
  if (/^(sample ?name|name|sample|label|description|colou?r|panel)$/.test(words)) return { is: 'name' }
  if (/^(sample ?id|id|no[.]?|nr[.]?|#)$/.test(words)) return { is: 'id' }
  const condition = conditionNames.find(([pattern]) => pattern.test(words))
  if (condition) return { is: 'condition', name: condition[1] }
  const lab = /^(?:(?:cie ?)?(?:lab|lch)[ -]?)?([labch])\*?(?: ?(?:at )?(-?\d{1,3}) ?(?:°|deg)?)?$/.exec(words)
  if (lab) return { is: 'lab', part: lab[1] as LabPart, angle: lab[2] === undefined ? null : Number(lab[2]) }
  const band =
    /^(?:(spectral|nm|pct|dec|spectral nm|spectral pct|spectral dec|r|refl|reflectance|%r|r%) ?)?(\d{3,4}(?:[.]\d+)?) ?(?:nm)?( ?%)?$/.exec(
      words,
    )
  if (!band) return null
  const nm = Number(band[2])
  if (nm < 200 || nm > 1100) return null
  return { is: 'band', nm, scale: scaleOf(band[1] ?? '', band[3] !== undefined) }
}

function scaleOf(prefix: string, percentSign: boolean): Scale | null {
  if (percentSign || prefix.includes('pct') || prefix.includes('%')) return 'percent'
  return prefix.includes('dec') ? 'fraction' : null
}

/** Whether headings hold a colour: all of Lab (or LCh), or enough wavelengths. */
export function holdColour(columns: readonly Column[]): boolean {
  const parts = new Set(columns.flatMap((column) => (column?.is === 'lab' ? [column.part] : [])))
  const hasLab = parts.has('l') && ((parts.has('a') && parts.has('b')) || (parts.has('c') && parts.has('h')))
  return hasLab || columns.filter((column) => column?.is === 'band').length >= 4
}

/** A column named twice leaves open which of the two counts. */
export function checkColumns(columns: readonly Column[], headings: readonly string[], line: number): void {
  const seen = new Set<string>()
  for (const [i, column] of columns.entries()) {
    if (!column || column.is === 'name' || column.is === 'id') continue
    const key = JSON.stringify(column.is === 'band' ? { ...column, scale: null } : column)
    if (seen.has(key)) throw badFile(line, `the column “${headings[i] ?? ''}” is there twice.`)
    seen.add(key)
  }
}

export type Row = { name: string; measures: Measure[]; saidAs: string[] }

/**
 * One row of a table as a sample. Empty cells are no figures; a Lab of which a part is missing is an error.
 * @param around  what was stated for the whole table
 * @param figureOf  a cell as a figure, or null when it is none
 */
export function readRow(
  columns: readonly Column[],
  cells: readonly string[],
  around: Conditions,
  line: number,
  figureOf: (text: string) => number | null,
): Row {
  const stated: Conditions = { ...around }
  const saidAs: string[] = []
  let name = ''
  let id = ''
  const figures = new Map<number | null, { lab: Partial<Record<LabPart, number>>; bands: [number, number][] }>()
  for (const [i, column] of columns.entries()) {
    const cell = (cells[i] ?? '').trim()
    if (!column || cell === '') continue
    if (column.is === 'name') name ||= cell
    else if (column.is === 'id') id = cell
    else if (column.is === 'condition') {
      if (!takeCondition(stated, column.name, cell)) saidAs.push(cell)
    } else {
      const value = figureOf(cell)
      if (value === null) throw badFile(line, `“${cell.slice(0, 40)}” is not a number.`)
      const angle = column.is === 'lab' ? column.angle : null
      const at = figures.get(angle) ?? { lab: {}, bands: [] }
      figures.set(angle, at)
      if (column.is === 'lab') at.lab[column.part] = value
      else {
        at.bands.push([column.nm, value])
        if (column.scale) stated.scale = column.scale
      }
    }
  }
  const measures = [...figures].map(
    ([angle, { lab, bands }]): Measure => ({
      ...stated,
      ...(angle === null ? {} : { aspecularDeg: angle, geometry: { is: 'multi-angle' } }),
      lab: labOf(lab, line),
      spectrum: spectrumOf(bands, line),
      line,
    }),
  )
  return { name: name || id, measures, saidAs }
}

/** @returns false when the words are not understood */
export function takeCondition(stated: Conditions, name: ConditionName, said: string): boolean {
  const text = said.slice(0, 200)
  switch (name) {
    case 'illuminant':
      stated.illuminant = saidIlluminant(text)
      // "D65/10°" says both
      if (/[/,]/.test(text)) stated.observer ??= saidObserver(text.replace(/^[^/,]*[/,]/, ''))
      return stated.illuminant !== null
    case 'observer':
      stated.observer = saidObserver(text)
      return stated.observer !== null
    case 'geometry': {
      const { geometry, aspecularDeg } = saidGeometry(text)
      stated.geometry = geometry
      stated.aspecularDeg = aspecularDeg ?? stated.aspecularDeg
      return geometry !== null
    }
    case 'angle':
      stated.aspecularDeg = saidAngle(text)
      if (stated.aspecularDeg !== null) stated.geometry ??= { is: 'multi-angle' }
      return stated.aspecularDeg !== null
    case 'scale':
      stated.scale = saidScale(text)
      return stated.scale !== null
    case 'instrument':
      stated.instrument = text.slice(0, 120)
      return true
    case 'taken':
      stated.takenAt = saidMoment(text)
      return true
  }
}

/** L* a little below 0 and far above 100 is met; beyond these no surface goes. */
function labOf(parts: Partial<Record<LabPart, number>>, line: number): Measure['lab'] {
  if (Object.keys(parts).length === 0) return null
  const { l, c, h } = parts
  const a = parts.a ?? (c !== undefined && h !== undefined ? c * Math.cos((h * Math.PI) / 180) : undefined)
  const b = parts.b ?? (c !== undefined && h !== undefined ? c * Math.sin((h * Math.PI) / 180) : undefined)
  if (l === undefined || a === undefined || b === undefined) throw badFile(line, 'a part of its Lab is missing.')
  return checkedLab({ l, a, b }, line)
}

export function checkedLab(
  lab: { l: number; a: number; b: number },
  line: number,
): { l: number; a: number; b: number } {
  if (lab.l < -5 || lab.l > 400 || Math.abs(lab.a) > 400 || Math.abs(lab.b) > 400)
    throw badFile(line, `L ${lab.l}, a ${lab.a}, b ${lab.b} is no colour of a surface.`)
  return lab
}

/**
 * Values at their wavelengths as equal steps. Headings are often whole numbers of a step that is none (380, 383, 387,
 * 390 for 3 1/3 nm), so half a nanometre of rounding is allowed.
 */
export function spectrumOf(bands: readonly [number, number][], line: number): Measure['spectrum'] {
  if (bands.length === 0) return null
  if (bands.length < 4) throw badFile(line, `a spectrum of ${bands.length} values is too short.`)
  const sorted = bands.toSorted(([a], [b]) => a - b)
  const startNm = sorted[0]?.[0] ?? 0
  const stepNm = ((sorted.at(-1)?.[0] ?? 0) - startNm) / (sorted.length - 1)
  const slack = sorted.every(([nm]) => Number.isInteger(nm)) && !Number.isInteger(stepNm) ? 0.5 + 1e-9 : 1e-3
  if (sorted.some(([nm], i) => Math.abs(nm - startNm - i * stepNm) > slack))
    throw badFile(line, 'the wavelengths of its spectrum do not lie at equal steps, or some values are missing.')
  return checkedSpectrum({ startNm, stepNm, values: sorted.map(([, value]) => value) }, line)
}

/** The scale is told later; in percent, three times the perfect white is 300. */
export function checkedSpectrum(spectrum: NonNullable<Measure['spectrum']>, line: number): Measure['spectrum'] {
  const { startNm, stepNm, values } = spectrum
  if (!(startNm >= 200 && startNm <= 1000 && stepNm > 0 && stepNm <= 100 && values.length <= 1000))
    throw badFile(
      line,
      `a spectrum from ${startNm} nm by ${stepNm} nm with ${values.length} values is none of a colour.`,
    )
  const odd = values.find((value) => value < -10 || value > 300)
  if (odd !== undefined) throw badFile(line, `${odd} is no reflectance of a surface.`)
  return spectrum
}
