import type { Basis } from '../../records/mixture.ts'
import { add, compare, divide, floor, fromNumber, multiply, one, type Rational, rational, zero } from '../rational.ts'

/** What the painter measures with. */
export type Measuring = {
  by: Basis
  /** The smallest step of the scale (g), or the distance of the marks on the cup (mL). */
  step: number
  /** The smallest amount that can be measured at all, in the same unit; left out: one step. */
  minimum?: number
  /** By volume: amounts below ten steps are counted in drops of this size (mL). Null or left out: no dropper. */
  dropMl?: number | null
  /** By volume: step of the scale on which dry powders are weighed (g). Left out: 0.1 g, a pocket scale. */
  powderStepG?: number
}

/** Usual ways to measure: common practice, no source. A drop of 0.05 mL is the pharmacist's 20 drops to the mL. */
export const usualMeasuring: readonly { title: string; measuring: Measuring }[] = [
  { title: 'Scale, 0.01 g', measuring: { by: 'mass', step: 0.01 } },
  { title: 'Scale, 0.1 g', measuring: { by: 'mass', step: 0.1 } },
  { title: 'Scale, 1 g', measuring: { by: 'mass', step: 1 } },
  { title: 'Syringe, 0.1 mL', measuring: { by: 'volume', step: 0.1 } },
  { title: 'Cup with marks, 1 mL', measuring: { by: 'volume', step: 1 } },
  { title: 'Cup with marks, 5 mL', measuring: { by: 'volume', step: 5 } },
  { title: 'Cup with marks and a dropper', measuring: { by: 'volume', step: 1, dropMl: 0.05 } },
]

/** An amount below this many steps is measured too roughly (common practice, no source). */
export const fewestSteps = rational(10n)

/** How one amount is measured. */
export type Gauge = { unit: 'mL' | 'g'; step: Rational; minimum: Rational; inDrops: boolean }

export function gaugeFor(amount: Rational, powder: boolean, measuring: Measuring): Gauge {
  const step = fromNumber(measuring.step)
  const minimum = measuring.minimum === undefined ? step : fromNumber(measuring.minimum)
  if (measuring.by === 'mass') return { unit: 'g', step, minimum, inDrops: false }
  if (powder) {
    const powderStep = fromNumber(measuring.powderStepG ?? 0.1)
    return { unit: 'g', step: powderStep, minimum: powderStep, inDrops: false }
  }
  const drop = measuring.dropMl ? fromNumber(measuring.dropMl) : null
  if (drop && compare(amount, multiply(step, fewestSteps)) < 0) {
    return { unit: 'mL', step: drop, minimum: drop, inDrops: true }
  }
  return { unit: 'mL', step, minimum, inDrops: false }
}

/** The nearest whole number of steps, a half going up. */
export const stepsIn = (amount: Rational, step: Rational): bigint => floor(add(divide(amount, step), rational(1n, 2n)))

/** What can be measured: the nearest step, but never nothing where there is something. */
export function roundToStep(amount: Rational, step: Rational): Rational {
  if (compare(amount, zero) <= 0) return zero
  const steps = rational(stepsIn(amount, step))
  return multiply(compare(steps, one) < 0 ? one : steps, step)
}
