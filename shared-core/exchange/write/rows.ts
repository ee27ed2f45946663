import type { z } from 'zod'
import type { Geometry, Illuminant, LabRecord, Level, Observer, Stage, View } from '../../records/colour.ts'
import type { SpectrumRecord } from '../../records/reading.ts'

/** One reading on its way into a file. */
export type ExportRow = {
  /** What it is of: "P-0042 Kestrel, 4 coats". */
  name: string
  lab: z.infer<typeof LabRecord>
  illuminant: Illuminant
  observer: Observer
  geometry: Geometry
  view: View
  stage: Stage
  level: Level
  bound90: number
  spectrum: SpectrumRecord | null
  instrument: string | null
  takenAt: string
}

/** Digits written after the point: finer than any instrument repeats, so that nothing of a reading is lost. */
export const labDigits = 4
export const reflectanceDigits = 6
const nmDigits = 4

export const labFigure = (value: number): string => fixed(value, labDigits)
export const reflectanceFigure = (value: number): string => fixed(value, reflectanceDigits)
/** Wavelengths are whole numbers nearly always. */
export const nmFigure = (nm: number): string => String(Number(nm.toFixed(nmDigits)))

/** Never "-0.0000". */
const fixed = (value: number, digits: number): string => {
  const text = value.toFixed(digits)
  return /^-0[.]0+$/.test(text) ? text.slice(1) : text
}

const aspecularOf: Record<View, number> = { 'near-glare': 15, face: 45, flop: 110 }

/** The aspecular angle, where a reading has one: a camera's is nominal, a sphere has none. */
export const angleOf = (row: ExportRow): number | null =>
  row.geometry === 'multi-angle' || row.geometry === 'photo' ? aspecularOf[row.view] : null

/** Geometry and angle as ASTM E2194 and E1164 write them; a camera is said to be one. */
export function geometryWords(row: ExportRow): string {
  if (row.geometry === 'photo') return `camera as${aspecularOf[row.view]}`
  if (row.geometry === 'multi-angle') return `45:as${aspecularOf[row.view]}`
  return row.geometry === 'd:8-included' ? 'di:8' : row.geometry === 'd:8-excluded' ? 'de:8' : row.geometry
}

export const wavelengths = ({ startNm, stepNm, values }: SpectrumRecord): string[] =>
  values.map((_, i) => nmFigure(startNm + i * stepNm))

/** Rows that one table of a file can hold: the same light, observer, geometry, instrument and wavelengths. */
export function alike(rows: readonly ExportRow[]): ExportRow[][] {
  const groups = Map.groupBy(rows, (row) =>
    JSON.stringify([
      row.illuminant,
      row.observer,
      geometryWords(row),
      row.instrument,
      row.spectrum && [row.spectrum.startNm, row.spectrum.stepNm, row.spectrum.values.length],
    ]),
  )
  return [...groups.values()]
}
