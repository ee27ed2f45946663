import type { Lab } from '../../../shared-core/colour/lab.ts'
import { samplingFault, spectrumToLab } from '../../../shared-core/colour/spectrum.ts'
import { compareReadings, toD50 } from '../../../shared-core/match/compare.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'

/** Mean length of an error over its 90 % point: 1.5958 / 2.5003 for a unit normal in three dimensions. */
export const meanOfBound = 1 / 1.57

/** What is aimed at, D50, 2°, and the mean length in dE00 of its own error. */
export type Target = { lab: Lab; noise: number }

/** A reading as a target: from its spectrum where it has one, else brought to D50 with what that may lose. */
export function targetOf(reading: Reading): Target {
  const { spectrum, illuminant, observer, bound90 } = reading
  if (illuminant === 'D50' && observer === '2') return { lab: reading.lab, noise: bound90 * meanOfBound }
  if (spectrum) {
    const at = { startNm: spectrum.startNm, stepNm: spectrum.stepNm, count: spectrum.values.length }
    if (samplingFault(at) === null) return { lab: spectrumToLab(spectrum.values, at), noise: bound90 * meanOfBound }
  }
  const lab = toD50(reading)
  // against itself under D50, known exactly: what is left is its own bound and what the crossing loses
  const itself = {
    ...reading,
    lab,
    illuminant: 'D50',
    observer: '2',
    bound90: 0,
    photoId: null,
    setupId: null,
  } as const
  return { lab, noise: compareReadings(reading, { ...itself, parts: [] }).bound90 * meanOfBound }
}
