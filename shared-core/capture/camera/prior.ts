import { Matrix } from 'ml-matrix'
import type { Tone } from '../bound.ts'
import { type Camera, cameraTerms, fromVector, plainCamera, toVector } from './model.ts'

/** What is believed of a camera: its most likely numbers, and how they may vary together. */
export type Belief = {
  /** `gain` says nothing here: it is another in every photo. */
  camera: Camera
  /** Covariance of the camera's numbers, `cameraTerms` squared, row by row. */
  covariance: readonly number[]
}

/**
 * Before a photo has said anything: cameras bend tone by an average S-curve and differ widely in it. Means and spreads
 * were taken from fits of the open chart photos (each by all its 24 patches) and of rendered charts, and rounded.
 * `none` is a file known to hold linear light; only the colour response is then open.
 */
const spread = {
  unknown: { contrast: 0.3, power: 0.1, flare: 0.01, cross: 0.08, root: 0.15 },
  none: { contrast: 1e-3, power: 1e-3, flare: 0.004, cross: 0.03, root: 0.03 },
}
const usual: Record<Tone, Camera> = {
  unknown: { ...plainCamera, contrast: 0.6, power: 0.07, flare: 0.002 },
  none: plainCamera,
}

/**
 * In pictures of many levels of brightness phones lift the middle and roll the highlights off: taken from the open chart
 * photos alone, which are such.
 */
const usualBusy: Camera = { ...plainCamera, contrast: 0.6, power: 0.2, flare: 0.002 }

/** @param busy  the photo shows much else, see `isBusy` */
export function firstBelief(tone: Tone, busy = false): Belief {
  const { contrast, power, flare, cross, root } = spread[tone]
  const deviations = [contrast, power, flare, ...Array<number>(6).fill(cross), ...Array<number>(9).fill(root)]
  const camera = busy && tone === 'unknown' ? usualBusy : usual[tone]
  return { camera, covariance: Matrix.diag(deviations.map((s) => s * s)).to1DArray() }
}

/** A belief as numbers to keep, and back. */
export const beliefFrom = (numbers: readonly number[], covariance: readonly number[]): Belief => ({
  camera: fromVector([...numbers.slice(0, cameraTerms), 0, 0, 0]),
  covariance,
})
export const numbersOf = ({ camera }: Belief): number[] => toVector(camera).slice(0, cameraTerms)
