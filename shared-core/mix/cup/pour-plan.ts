import { Refusal } from '../../contract/refusal.ts'
import type { MaterialRef, Mixture } from '../../records/mixture.ts'
import type { DensityOf } from '../quantities.ts'
import { add, compare, divide, greatest, multiply, one, type Rational, zero } from '../rational.ts'
import { mixtureAsPoured } from './as-poured.ts'
import { type Content, type CupContents, sameMaterial, scaleCup } from './contents.ts'
import { fewestSteps, type Gauge, gaugeFor, type Measuring, roundToStep, stepsIn } from './measuring.ts'
import { flakeLast } from './pouring-order.ts'
import { compareShares, type Measured, type ShareChanges } from './shares.ts'

/** One thing to pour, in pouring order. */
export type PourLine = {
  material: MaterialRef
  /** The mixture that it stands in, outermost first. */
  path: readonly string[]
  powder: boolean
  unit: Gauge['unit']
  /** What the formula asks for. */
  exact: Rational
  /** What can be measured. */
  rounded: Rational
  /** Counted in drops; null: measured by the step. */
  drops: number | null
  /** What scale or cup says once it is in; null for a powder that is weighed apart. */
  reading: Rational | null
  /** Too little for the scale or cup: below the smallest amount that it measures, or below ten of its steps. */
  tooLittle: 'below-minimum' | 'below-ten-steps' | null
}

export type PourPlan = {
  lines: readonly PourLine[]
  /** In mL or g, as the cup is measured. */
  total: { exact: Rational; rounded: Rational; unit: 'mL' | 'g' }
  /** Volume of the cup as the formula asks for it; null where a density is missing. */
  volumeMl: Rational | null
  /** What rounding did to the shares. */
  rounding: ShareChanges
  /** The rounded cup as a mixture, for predicting its colour; null when it holds nothing but powder. */
  roundedMixture: Mixture | null
  /** Size of the smallest cup (total in its unit) that has ten steps of everything. */
  smallestTotal: Rational
}

/** Refused where the cup's measure needs a density that nobody entered. */
function amountIn(content: Content, by: Measuring['by']): Rational {
  const amount = by === 'mass' || content.powder ? content.massG : content.volumeMl
  if (amount) return amount
  throw new Refusal(
    'mix/no-density',
    `This cup is measured by ${by}, and the density of ${content.material.name} is not known.`,
    `Enter the density of ${content.material.name} on the shelf, or measure this cup by ${by === 'mass' ? 'volume' : 'mass'}.`,
  )
}

/** Flake last; the same material twice in a row is poured once. */
function linesOf(cup: CupContents, by: Measuring['by']): (Measured & { path: readonly string[] })[] {
  const lines: (Measured & { path: readonly string[] })[] = []
  for (const content of flakeLast(cup.contents, ({ material }) => material.kind)) {
    const amount = amountIn(content, by)
    const last = lines.at(-1)
    if (last && last.powder === content.powder && sameMaterial(last.material, content.material)) {
      lines[lines.length - 1] = { ...last, amount: add(last.amount, amount) }
    } else lines.push({ material: content.material, path: content.path, powder: content.powder, amount })
  }
  return lines
}

/**
 * What to pour, in order, with what the scale or cup says after each ingredient.
 *
 * Each amount is rounded by itself to the nearest step (a sum of roundings would wander less, but the small ingredients,
 * which colour most, would be hit hardest). Something small is rounded up to one step, never to nothing.
 * @throws Refusal `mix/no-density` naming the material, where the cup is measured otherwise than the formula is written
 */
export function planPour(cup: CupContents, measuring: Measuring, densityOf: DensityOf = () => null): PourPlan {
  const wanted = linesOf(cup, measuring.by)
  let [exactTotal, reading, growth] = [zero, zero, zero]
  const lines = wanted.map(({ material, path, powder, amount }): PourLine => {
    const gauge = gaugeFor(amount, powder, measuring)
    const rounded = roundToStep(amount, gauge.step)
    const apart = powder && measuring.by === 'volume'
    if (!apart) {
      exactTotal = add(exactTotal, amount)
      reading = add(reading, rounded)
    }
    const enough = greatest(gauge.minimum, multiply(gauge.step, fewestSteps))
    // a trace that no number can hold any more has come back from its record as nothing
    if (compare(amount, zero) > 0) growth = greatest(growth, divide(enough, amount))
    const below = compare(amount, gauge.minimum) < 0 ? 'below-minimum' : null
    return {
      material,
      path,
      powder,
      unit: gauge.unit,
      exact: amount,
      rounded,
      drops: gauge.inDrops ? Number(stepsIn(rounded, gauge.step)) : null,
      reading: apart ? null : reading,
      tooLittle: below ?? (compare(amount, enough) < 0 ? 'below-ten-steps' : null),
    }
  })
  const measured = lines.map(({ material, powder, rounded }): Measured => ({ material, powder, amount: rounded }))
  return {
    lines,
    total: { exact: exactTotal, rounded: reading, unit: measuring.by === 'mass' ? 'g' : 'mL' },
    volumeMl: cup.volumeMl,
    rounding: compareShares(wanted, measured, measuring.by),
    roundedMixture: mixtureAsPoured(measured, measuring.by, densityOf),
    smallestTotal: multiply(exactTotal, growth),
  }
}

/** A cup to mix in, and how full it may get: 3/4 is usual (common practice, no source), so that it can be stirred. */
export type Vessel = { cupMl: Rational; fill: Rational }

export const usualFill: Rational = { numerator: 3n, denominator: 4n }

export type CupPlan = {
  /** How many equal cups. */
  batches: number
  /** What each of them is. */
  each: PourPlan
  /** Null: no cup was named, or the volume is not known for want of a density. */
  fits: boolean | null
}

/** How many equal batches of a volume a vessel takes. @throws RangeError when the vessel holds nothing */
export function batchesFor(volumeMl: Rational, { cupMl, fill }: Vessel): number {
  const most = multiply(cupMl, fill)
  if (compare(most, zero) <= 0) throw new RangeError('A cup holds more than nothing.')
  const cups = divide(volumeMl, most)
  const whole = cups.numerator / cups.denominator
  return Number(whole * cups.denominator === cups.numerator ? whole : whole + 1n) || 1
}

/** The pour plan, in equal batches where the cup is too small for the whole. @throws Refusal as `planPour` */
export function planCup(
  cup: CupContents,
  measuring: Measuring,
  vessel: Vessel | null,
  densityOf: DensityOf = () => null,
): CupPlan {
  const batches = vessel && cup.volumeMl ? batchesFor(cup.volumeMl, vessel) : 1
  const each = batches === 1 ? cup : scaleCup(cup, divide(one, { numerator: BigInt(batches), denominator: 1n }))
  return {
    batches,
    each: planPour(each, measuring, densityOf),
    fits: vessel && cup.volumeMl ? batches === 1 : null,
  }
}
