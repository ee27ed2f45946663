import { filmSampling } from '../colour/spectrum.ts'
import { type Basis, leadingShapes, smooth } from './spectra-basis.ts'

/** What is believed of candies, grounds and platelets before anything was read: log spectra as few normal unknowns. */

const n = filmSampling.count

/**
 * log of a candy's absorbance at load 1. The bands of 62 dyes, glasses and dyed films (open optical constants, CC0) bend
 * as much over 10 to 80 nm; one full cover at 6 : 1 takes a good third of the light where a dye is strongest.
 */
export const candyMean = new Float64Array(n).fill(-2.4)
export const candyBasis: Basis = leadingShapes(smooth(1.6, 60, 0.8), 10)

/** log of a ground's reflectance. */
export const groundMean = new Float64Array(n).fill(-1)
const groundBases = new Map<number, Basis>()
/** @param spread  how freely the log spectrum bends; see `groundSpread` */
export function groundBasis(spread: number): Basis {
  const key = Math.round(spread * 20) / 20
  const kept = groundBases.get(key) ?? leadingShapes(smooth(key, 90, 1.2), 8)
  groundBases.set(key, kept)
  return kept
}
/** A grey ground is grey at every wavelength; a coloured one bends. @param chroma  C*ab of the bare ground, null: never read */
export const groundSpread = (chroma: number | null): number =>
  chroma === null ? 0.6 : Math.min(1.2, Math.max(0.3, 0.25 + 0.02 * chroma))

/** log of what one coat of platelets sends back: what it sends back it does not let through, so that it shows one hue over dark
 * and the other hue over bright. */
export const plateletMean = new Float64Array(n).fill(-2.5)
export const plateletBasis: Basis = leadingShapes(smooth(0.9, 60, 0.9), 7)
/** log of what one coat of a mid coat lets through beside that, both ways: pigment of its own. */
export const lossMean = new Float64Array(n).fill(-0.04)
export const lossBasis: Basis = leadingShapes(smooth(0.08, 90, 0.08), 4)
