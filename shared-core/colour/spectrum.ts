import {
  illuminantA,
  illuminantD50,
  illuminantD65,
  illuminantF2,
  illuminantF11,
  illuminantLedB3,
  observer2,
  tableCount,
  tableStartNm,
  tableStepNm,
} from './cie-tables.ts'
import { type Lab, type WhiteName, whites, type Xyz, xyzToLab } from './lab.ts'

/** Values at equal steps of wavelength: reflectance factors (0 to 1, metals a little above) or absorbances. */
export type Spectrum = readonly number[]

/** Illuminants with a spectral table: all that a reading can name, except C. */
export type SpectralIlluminant = Exclude<WhiteName, 'C'>

const power: Record<SpectralIlluminant, readonly number[]> = {
  D50: illuminantD50,
  D65: illuminantD65,
  A: illuminantA,
  F2: illuminantF2,
  F11: illuminantF11,
  'LED-B3': illuminantLedB3,
}

/**
 * Why colours under an illuminant and observer are not computed from spectra, in words; null when they are.
 * Only the 2° observer (CIE 1931) has its table here, and C has no table.
 */
export function missingTable(illuminant: string, observer: string): string | null {
  if (observer !== '2')
    return `a colour for the ${observer}° observer needs that observer’s own table, which is not here`
  return Object.hasOwn(power, illuminant) ? null : `there is no spectral table of illuminant ${illuminant}`
}

/** Where a spectrum starts and how far its values lie apart. */
export type Sampling = { startNm: number; stepNm: number; count: number }

/** What the film model works on: 31 values, 400 to 700 nm in tens. */
export const filmSampling: Sampling = { startNm: 400, stepNm: 10, count: 31 }

/** X, Y and Z weights for each value of a spectrum. */
export type Weights = { x: readonly number[]; y: readonly number[]; z: readonly number[] }

const known = new Map<string, Weights>()
const mostKept = 200

/** Narrower than this, too much of the eye's range is missing; wider steps than `widestStepNm` lose a dye's bands. */
const neededFromNm = 400
const neededToNm = 700
const widestStepNm = 20

/** Why a spectrum taken at these wavelengths cannot be summed, in words; null when it can. */
export function samplingFault({ startNm, stepNm, count }: Sampling): string | null {
  if (!(Number.isFinite(startNm) && Number.isFinite(stepNm) && stepNm > 0 && count >= 4))
    return 'it needs at least four values at equal steps of wavelength'
  // wavelengths worked out from a step of 3 1/3 nm end a hair beside the whole number
  const lastNm = startNm + stepNm * (count - 1) + 1e-6
  if (startNm > neededFromNm || lastNm < neededToNm)
    return `it reaches from ${round(startNm)} to ${round(lastNm)} nm, and ${neededFromNm} to ${neededToNm} nm are needed`
  if (stepNm > widestStepNm) return `its values lie ${round(stepNm)} nm apart, and ${widestStepNm} nm is the widest`
  return null
}
const round = (nm: number): number => Math.round(nm * 100) / 100

/**
 * Weights that sum a spectrum to XYZ (2° observer), Y = 1 for the perfect white.
 * As ASTM E308-22 §7 describes: products of illuminant and observer at 5 nm; values measured at other wavelengths are
 * interpolated to 5 nm by Lagrange's four-point formula (three points beside an end); beyond the ends the last value
 * holds, so the weights there are added to the ends.
 * @param at  sampling: any start and step, whole or not, from 400 nm or less to 700 nm or more, 20 nm apart at most
 * @throws    RangeError when the sampling has a fault, see `samplingFault`
 */
export function spectralWeights(at: Sampling, illuminant: SpectralIlluminant): Weights {
  const key = `${at.startNm}/${at.stepNm}/${at.count}/${illuminant}`
  const kept = known.get(key)
  if (kept) return kept
  const fault = samplingFault(at)
  if (fault) throw new RangeError(`A spectrum cannot be summed: ${fault}.`)
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
  // odd samplings come one at a time with files of instruments: what is kept stays small
  if (known.size >= mostKept) known.clear()
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
 * CIELAB (2°) of a reflecting surface under an illuminant, relative to the perfect white there: a flat spectrum is
 * exactly neutral.
 * The summed white differs from the published one by the table's rounding (under 2e-4); each column is scaled to it.
 */
export function spectrumToLab(
  reflectance: Spectrum,
  at: Sampling = filmSampling,
  illuminant: SpectralIlluminant = 'D50',
): Lab {
  const xyz = spectrumToXyz(reflectance, illuminant, at)
  const summed = spectralWhite(illuminant)
  const white = whites[illuminant]
  return xyzToLab({ x: (xyz.x / summed.x) * white.x, y: xyz.y * white.y, z: (xyz.z / summed.z) * white.z }, white)
}
