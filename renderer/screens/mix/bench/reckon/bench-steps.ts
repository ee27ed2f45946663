import { pouringLines } from '../../../../../shared-core/mix/cup/cup-lines.ts'
import { gaugeFor, type Measuring, stepsIn } from '../../../../../shared-core/mix/cup/measuring.ts'
import {
  type PouringLine,
  type RestLine,
  type RestOfCup,
  restOfCup,
} from '../../../../../shared-core/mix/cup/over-pour.ts'
import { usualFill, type Vessel } from '../../../../../shared-core/mix/cup/pour-plan.ts'
import { inPouringOrder } from '../../../../../shared-core/mix/cup/pouring-order.ts'
import {
  add,
  compare,
  fromNumber,
  type Rational,
  sum,
  toNumber,
  zero,
} from '../../../../../shared-core/mix/rational.ts'
import { densityFrom } from '../../../../../shared-core/mix/shelf-facts.ts'
import type { Cup, CupLine } from '../../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../../shared-core/records/mixture.ts'

export type PourStep = {
  kind: 'pour'
  /** The line's. */
  id: string
  /** 1 for the first ingredient. */
  no: number
  line: CupLine
  rest: RestLine
  unit: 'g' | 'mL'
  /** The smallest amount that is told apart. */
  step: number
  /** Weighed apart from the cup: powder in a cup that is filled by volume. */
  apart: boolean
  drops: number | null
  /** In the cup before it, and once it is in, as the scale or cup says. */
  before: Rational
  after: Rational
  done: boolean
}
export type BenchStep =
  | PourStep
  | { kind: 'strain'; id: 'strain'; done: boolean }
  | { kind: 'record'; id: 'record'; done: boolean }

export type Bench = {
  measuring: Measuring
  /** Lines in the order they are poured: flake after the strainer. */
  lines: readonly CupLine[]
  pouring: readonly PouringLine[]
  rest: RestOfCup
  steps: readonly BenchStep[]
  /** The first that is not done. */
  next: BenchStep
}

export const vesselOf = ({ cupMl }: Pick<Cup, 'cupMl'>): Vessel | null =>
  cupMl === null ? null : { cupMl: fromNumber(cupMl), fill: usualFill }

/** What is done of a cup and what comes next, from what was poured alone. */
export function benchOf(cup: Cup, materials: readonly Material[], { done }: { done: readonly string[] }): Bench {
  const measuring: Measuring = cup.measure
  const lines = inPouringOrder(cup.lines)
  const pouring = pouringLines(lines)
  const rest = restOfCup(pouring, measuring, vesselOf(cup), densityFrom(materials))
  const isApart = ({ powder }: CupLine) => powder && measuring.by === 'volume'
  const inCup = sum(pouring.filter((_, at) => !isApart(lines[at]!)).map(({ poured }) => poured ?? zero))
  const pours = lines.map((line, at): PourStep => {
    const each = rest.lines[at]!
    const gauge = gaugeFor(each.wanted, line.powder, measuring)
    return {
      kind: 'pour',
      id: line.id,
      no: at + 1,
      line,
      rest: each,
      unit: gauge.unit,
      step: toNumber(gauge.step),
      apart: isApart(line),
      drops: gauge.inDrops ? Number(stepsIn(each.toPour, gauge.step)) : null,
      before: inCup,
      after: isApart(line) ? each.toPour : add(inCup, each.toPour),
      done: compare(each.toPour, zero) === 0,
    }
  })
  const strain: BenchStep = { kind: 'strain', id: 'strain', done: done.includes('strain') }
  const flakeAt = pours.findIndex(({ line }) => line.kind === 'flake')
  const before = flakeAt < 0 ? pours : pours.slice(0, flakeAt)
  // a cup of nothing but flake has nothing to strain
  const steps: BenchStep[] = [
    ...before,
    ...(before.length > 0 ? [strain] : []),
    ...(flakeAt < 0 ? [] : pours.slice(flakeAt)),
  ]
  const record: BenchStep = { kind: 'record', id: 'record', done: false }
  steps.push(record)
  return { measuring, lines, pouring, rest, steps, next: steps.find((step) => !step.done) ?? record }
}
