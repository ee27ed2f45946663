import type { Geometry, Level } from '../../../../shared-core/records/colour.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { BoundPart, Reading, Texture } from '../../../../shared-core/records/reading.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { sayNumber } from '../../../parts/say-numbers.ts'
import type { ReadingGroup, ReadingRow } from './reading-groups.ts'
import { readingsOf } from './reading-groups.ts'

export const levelInWords: Record<Level, string> = {
  uncalibrated: 'From a photo without a card: uncalibrated',
  card: 'From a photo, by its grey card alone',
  tiles: 'From a photo, by its white, grey and black tiles',
  sheet: 'From a photo, by its photo sheet, which a chart has taught',
  chart: 'From a photo, by the chart in it',
  'set-up': 'From a photo, by a calibrated set-up and its card',
  typed: 'Typed in',
  instrument: 'From an instrument',
  predicted: 'Predicted, not sprayed',
}

export const geometryInWords: Record<Geometry, string> = {
  photo: 'by a camera',
  '45:0': '45° / 0°',
  '0:45': '0° / 45°',
  'd:8-included': 'sphere, gloss included',
  'd:8-excluded': 'sphere, gloss excluded',
  'multi-angle': 'multi-angle',
}

/** Where a reading came from, in a few words: its photo's name, its instrument. */
export function sourceOf(reading: Reading, photos: readonly Photo[]): string {
  if (reading.photoId !== null) return photos.find((photo) => photo.id === reading.photoId)?.name ?? 'a photo'
  if (reading.level === 'predicted') return 'predicted'
  if (reading.instrument) return reading.instrument
  return reading.level === 'instrument' ? geometryInWords[reading.geometry] : 'typed in'
}

/** The source of a single reading where its table has more than one, so that they can be told apart. */
export function sourceInTable(row: ReadingRow, group: ReadingGroup, photos: readonly Photo[]): string | null {
  if (row.readings.length > 1) return null
  const sources = new Set(readingsOf(group).map((reading) => sourceOf(reading, photos)))
  return sources.size > 1 ? sourceOf(row.readings[0]!, photos) : null
}

/** How many readings a row is made of, and whether they fit. */
export function repeatedInWords({ readings, combined }: ReadingRow): string | null {
  if (readings.length === 1) return null
  const n = combined.used.length
  if (combined.disagreement) return `${n} readings that disagree`
  return `Mean of ${n} readings${combined.outliers.length > 0 ? `, ${combined.outliers.length} left out` : ''}`
}

export const sharedInWords = (part: BoundPart): string => {
  if (part.shared === 'photo') return ' (shared by all of this photo)'
  return part.shared === 'set-up' ? ' (shared by all of this set-up)' : ''
}

/** Coarseness, grain and glints of a flake: "12 % coarse", "0.8 mm grain", "4 glints/cm²". */
export function textureInWords(texture: Texture, settings: Settings): string[] {
  const { coarsenessPercent, grainMm, glintsPerCm2 } = texture
  return [
    `${sayNumber(coarsenessPercent, coarsenessPercent < 10 ? 1 : 0, settings)} % coarse`,
    grainMm === null ? '' : `${sayNumber(grainMm, grainMm < 0.1 ? 2 : 1, settings)} mm grain`,
    glintsPerCm2 === null
      ? ''
      : glintsPerCm2 < 0.05
        ? 'no glints'
        : `${sayNumber(glintsPerCm2, glintsPerCm2 < 10 ? 1 : 0, settings)} glints/cm²`,
  ].filter(Boolean)
}
