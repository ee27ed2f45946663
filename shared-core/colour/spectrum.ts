import {
  illuminantA,
  illuminantD50,
  illuminantD65,
  illuminantLedB3,
  observer2,
  tableCount,
  tableStartNm,
  tableStepNm,
} from './cie-tables.ts'
import { type Lab, whites, type Xyz, xyzToLab } from './lab.ts'

/** Values at equal steps of wavelength: reflectance factors (0 to 1, metals a little above) or absorbances. */
export type Spectrum = readonly number[]

/** Illuminants with a spectral table. */
export type SpectralIlluminant = 'D50' | 'D65' | 'A' | 'LED-B3'

const power: Record<SpectralIlluminant, readonly number[]> = {
  D50: illuminantD50,
  D65: illuminantD65,
  A: illuminantA,
  'LED-B3': illuminantLedB3,
}

/** Where a spectrum starts and how far its values lie apart. */
export type Sampling = { startNm: number; stepNm: number; count: number }

/** What the film model works on: 31 values, 400 to 700 nm in tens. */
export const filmSampling: Sampling = { startNm: 400, stepNm: 10, count: 31 }

/** X, Y and Z weights for each value of a spectrum. */
export type Weights = { x: readonly number[]; y: readonly number[]; z: readonly number[] }

const known = new Map<string, Weights>()

/**
 * Weights that sum a spectrum to XYZ (2° observer), Y = 1 for the perfect white.
 * As ASTM E308-22 §7 describes: products of illuminant and observer at 5 nm; values measured at wider steps are
 * interpolated to 5 nm by Lagrange's four-point formula (three points beside an end); beyond the ends the last value
 * holds, so the weights there are added to the ends.
 * @param at  sampling; start and step multiples of 5 nm, at least four values
 * @throws    RangeError when the sampling does not fall on the 5 nm table
 */
export function spectralWeights(at: Sampling, illuminant: SpectralIlluminant): Weights {
  const key = `${at.startNm}/${at.stepNm}/${at.count}/${illuminant}`
  const kept = known.get(key)
  if (kept) return kept
  if (at.startNm % tableStepNm !== 0 || at.stepNm % tableStepNm !== 0 || at.stepNm <= 0 || at.count < 4)
    throw new RangeError('A spectrum needs at least four values at multiples of 5 nm.')
  const x = Array<number>(at.count).fill(0)
  const y = Array<number>(at.count).fill(0)
  const z = Array<number>(at.count).fill(0)
  let sumY = 0
  for (let k = 0; k < tableCount; k++) {
    const light = power[illuminant][k] ?? 0
    const [cx, cy, cz] = observer2[k] ?? [0, 0, 0]
    sumY += light * cy
    for (const [index, share] of lagrange((tableStartNm + k * tableStepNm - at.startNm) / at.stepNm, at.count)) {
      x[index] = (x[index] ?? 0) + light * cx * share
      y[index] = (y[index] ?? 0) + light * cy * share
      z[index] = (z[index] ?? 0) + light * cz * share
    }
  }
  const scale = (column: number[]) => column.map((value) => value / sumY)
  const weights = { x: scale(x), y: scale(y), z: scale(z) }
  known.set(key, weights)
  return weights
}

/** Which values, and how much of each, stand for the place `t` (in steps from the first value). */
function lagrange(t: number, count: number): [number, number][] {
  if (t <= 0) return [[0, 1]]
  if (t >= count - 1) return [[count - 1, 1]]
  const whole = Math.floor(t)
  if (t === whole) return [[whole, 1]]
  const from = Math.max(0, whole - 1)
  const to = Math.min(count - 1, whole + 2)
  const places = Array.from({ length: to - from + 1 }, (_, i) => from + i)
  return places.map((i) => [i, places.reduce((share, j) => (j === i ? share : (share * (t - j)) / (i - j)), 1)])
}

/**
 * Tristimulus values of a reflecting surface.
 * @param reflectance  values at `at` (default 400–700 nm by 10)
 * @returns            XYZ under the illuminant, 2° observer, Y = 1 for the perfect white
 * @throws             RangeError when the number of values is not `at.count`
 * Source: ASTM E308-22, summation; see spectralWeights.
 */
export function spectrumToXyz(reflectance: Spectrum, illuminant: SpectralIlluminant, at: Sampling = filmSampling): Xyz {
  if (reflectance.length !== at.count)
    throw new RangeError(`Expected ${at.count} values of reflectance, got ${reflectance.length}.`)
  const weights = spectralWeights(at, illuminant)
  const weighed = (column: readonly number[]) => column.reduce((total, w, i) => total + w * (reflectance[i] ?? 0), 0)
  return { x: weighed(weights.x), y: weighed(weights.y), z: weighed(weights.z) }
}

const sum = (column: readonly number[]): number => column.reduce((total, w) => total + w, 0)

/** XYZ of the perfect white under the illuminant as these tables sum it, Y = 1. */
export function spectralWhite(illuminant: SpectralIlluminant): Xyz {
  const weights = spectralWeights(filmSampling, illuminant)
  return { x: sum(weights.x), y: sum(weights.y), z: sum(weights.z) }
}

/**
 * CIELAB (D50, 2°) of a reflecting surface, relative to the perfect white: a flat spectrum is exactly neutral.
 * The summed white differs from the published one by the table's rounding (under 2e-4); each column is scaled to it.
 */
export function spectrumToLab(reflectance: Spectrum, at: Sampling = filmSampling): Lab {
  const xyz = spectrumToXyz(reflectance, 'D50', at)
  const white = spectralWhite('D50')
  const { D50 } = whites
  return xyzToLab({ x: (xyz.x / white.x) * D50.x, y: xyz.y * D50.y, z: (xyz.z / white.z) * D50.z })
}
