import type { Level, Light } from '../../../shared-core/records/colour.ts'
import type { CombinedColour } from '../../../shared-core/records/match.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { labFigures } from '../../parts/lab-figures.ts'
import { sayBound } from '../../parts/say-numbers.ts'
import { stageInWords, viewInWords } from '../../parts/views-in-words.ts'

const levelInWords: Record<Level, string> = {
  uncalibrated: 'no card in the photo, uncalibrated',
  card: 'grey card in the photo',
  tiles: 'white, grey and black tiles in the photo',
  sheet: 'known photo sheet',
  chart: 'chart in the photo',
  'set-up': 'calibrated set-up',
  typed: 'typed',
  instrument: 'measured with an instrument',
  predicted: 'predicted',
}

/** "Face 45°, booth tubes, cleared, 7 days old, grey card in the photo". */
export function howRead(reading: Reading, lights: readonly Light[]): string {
  const light = lights.find((l) => l.id === reading.lightId)?.name
  const age = reading.ageDays === null ? null : sayAge(reading.ageDays)
  return [
    viewInWords[reading.view],
    light ?? 'light not known',
    stageInWords[reading.stage],
    age,
    levelInWords[reading.level],
  ]
    .filter(Boolean)
    .join(', ')
}

export function sayAge(days: number): string {
  if (days < 1) return 'the same day'
  return days < 2 ? '1 day old' : `${Math.round(days)} days old`
}

/** "Lab 55.3, −30.1, −7.7 ± 0.8", with illuminant and observer where they are not D50 and 2°. */
export function sayLab(
  reading: Pick<Reading, 'lab' | 'illuminant' | 'observer' | 'bound90'>,
  settings: Settings,
): string {
  const white =
    reading.illuminant === 'D50' && reading.observer === '2' ? '' : ` (${reading.illuminant}, ${reading.observer}°)`
  return `Lab${white} ${labFigures(reading.lab, settings)} ± ${sayBound(reading.bound90, settings)}`
}

/** Whether it came out of a photo, so that it is an estimate. */
export function isEstimate({ geometry }: Pick<Reading, 'geometry'>): boolean {
  return geometry === 'photo'
}

export function newestOf(readings: readonly Reading[]): Reading | undefined {
  return readings.toSorted((a, b) => b.takenAt.localeCompare(a.takenAt))[0]
}

/** "3 readings", "3 readings, 1 left out", "2 readings that disagree". */
export function combinedInWords({ count, leftOut, disagree }: CombinedColour): string {
  if (disagree) return `${count} readings that disagree`
  const used = count === 1 ? '1 reading' : `${count} readings`
  return leftOut > 0 ? `${used}, ${leftOut} left out` : used
}

/** Why a difference is surer than its two colours: what one photo or set-up has alike falls away. */
export function togetherInWords(a: Reading, b: Reading): string | null {
  if (a.photoId !== null && a.photoId === b.photoId)
    return 'In one photo with the reference: what both share is out of the ±'
  if (a.setupId && a.setupId === b.setupId) return 'By the reference’s set-up: what both share is out of the ±'
  return null
}

export const upperFirst = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)
export const lowerFirst = (words: string) => words.charAt(0).toLowerCase() + words.slice(1)

/** "A little darker", "Within the ±: a little darker": a difference smaller than its own doubt is not claimed loudly. */
export const sayDifference = ({ de00, bound90, words }: { de00: number; bound90: number; words: string }): string =>
  de00 > bound90 ? upperFirst(words) : `Within the ±: ${lowerFirst(words)}`
