import { compare, hundred, multiply, type Rational, toNumber, zero } from '../rational.ts'
import { type Decimal, formatShort } from '../units.ts'
import type { CupPlan, PourPlan } from './pour-plan.ts'

/** At most three figures that matter: 0.04 %, 1.3 %, 12 %. */
function percent(value: Rational, decimal: Decimal): string {
  const figure = Math.abs(toNumber(multiply(value, hundred)))
  if (figure > 0 && figure < 0.01) return 'less than 0.01 %'.replace('.', decimal === 'comma' ? ',' : '.')
  return `${formatShort(figure, figure < 1 ? 2 : figure < 10 ? 1 : 0, decimal)} %`
}

/** A total rounded up to two figures, so that what is advised is enough. */
function roundedUp(value: Rational): number {
  const figure = toNumber(value)
  const step = 10 ** (Math.floor(Math.log10(figure)) - 1)
  return Number((Math.ceil(figure / step - 1e-9) * step).toPrecision(3))
}

/** What the painter should know of a plan before pouring: whole sentences, empty when there is nothing to say. */
export function pourWarnings(plan: PourPlan, decimal: Decimal): string[] {
  const warnings: string[] = []
  const short = plan.lines.filter(({ tooLittle }) => tooLittle !== null)
  const names = [...new Set(short.map(({ material }) => material.name))].join(', ')
  const enough = `${formatShort(roundedUp(plan.smallestTotal), 2, decimal)} ${plan.total.unit}`
  if (short.some(({ tooLittle }) => tooLittle === 'below-minimum')) {
    warnings.push(`${names}: too little to be measured. Mix ${enough} or more, or measure more finely.`)
  } else if (short.length > 0) {
    warnings.push(`${names}: less than ten steps of your measure. Mix ${enough} or more, or measure more finely.`)
  }
  const [worst] = plan.rounding.changed
  if (worst && compare(plan.rounding.largestRelative, { numerator: 1n, denominator: 100n }) > 0) {
    const way = compare(worst.change, zero) > 0 ? 'more' : 'less'
    warnings.push(`Rounding gives ${percent(worst.relative, decimal)} ${way} ${worst.material.name} than the formula.`)
  }
  return warnings
}

/** "2 equal cups: one is too small." Null when one cup does. */
export function batchesInWords({ batches, each }: CupPlan, decimal: Decimal): string | null {
  if (batches === 1) return null
  const size = formatShort(toNumber(each.total.exact), 1, decimal)
  return `The cup is too small for it all: mix ${batches} equal cups of ${size} ${each.total.unit}, and pour them together before spraying.`
}
