import { Refusal } from '../../../../../shared-core/contract/refusal.ts'
import { pouredFromReading, type RestOfCup, restOfCup } from '../../../../../shared-core/mix/cup/over-pour.ts'
import { add, compare, fromNumber, type Rational, zero } from '../../../../../shared-core/mix/rational.ts'
import { densityFrom } from '../../../../../shared-core/mix/shelf-facts.ts'
import { parseQuantity } from '../../../../../shared-core/mix/units.ts'
import type { Cup } from '../../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../../shared-core/records/mixture.ts'
import { type Bench, type PourStep, vesselOf } from './bench-steps.ts'

export type Reading =
  | { kind: 'none' }
  | { kind: 'wrong'; message: string; remedy: string }
  | {
      kind: 'read'
      /** What is then in the cup of this ingredient. */
      poured: Rational
      /** What the cup becomes with it. */
      rest: RestOfCup
      /** This ingredient is then more than was asked for. */
      over: boolean
      /** This ingredient is then still less. */
      short: boolean
    }

/**
 * How a typed figure is meant. `total`: what is in the cup by now. `added`: what went in since the scale was set to zero.
 * `own`: all there is of this ingredient, where others came after it or it is weighed apart.
 */
export function meaningOf({ lines }: Bench, { id, apart, done }: PourStep, zeroed: boolean): 'total' | 'added' | 'own' {
  const after = lines.slice(lines.findIndex((each) => each.id === id) + 1)
  if (apart || (done && after.some(({ poured }) => poured !== null))) return 'own'
  return zeroed ? 'added' : 'total'
}

/** What a typed figure means for the cup, before it is written down. A bare number is in the scale's or cup's own unit. */
export function readTyped(
  typed: string,
  bench: Bench,
  step: PourStep,
  zeroed: boolean,
  cup: Cup,
  materials: readonly Material[],
): Reading {
  if (typed.trim() === '') return { kind: 'none' }
  const read = parseQuantity(typed, step.unit === 'g' ? 'mass' : 'volume', 'metric')
  if (!read.ok) return { kind: 'wrong', message: read.message, remedy: read.remedy }
  const at = step.no - 1
  const figure = fromNumber(read.value)
  const meaning = meaningOf(bench, step, zeroed)
  let poured = figure
  try {
    if (meaning === 'total') poured = pouredFromReading(bench.pouring, at, figure, bench.measuring)
    if (meaning === 'added' && step.line.poured !== null && !step.done)
      poured = add(fromNumber(step.line.poured), figure)
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    return { kind: 'wrong', message: error.message, remedy: error.remedy }
  }
  const lines = bench.pouring.map((line, index) => (index === at ? { ...line, poured } : line))
  const rest = restOfCup(lines, bench.measuring, vesselOf(cup), densityFrom(materials))
  const line = rest.lines[at]!
  return { kind: 'read', poured, rest, over: line.over, short: !line.over && compare(line.toPour, zero) > 0 }
}
