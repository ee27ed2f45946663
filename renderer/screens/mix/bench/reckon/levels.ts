import {
  add,
  fromNumber,
  multiply,
  one,
  type Rational,
  toNumber,
  zero,
} from '../../../../../shared-core/mix/rational.ts'
import { densityFrom } from '../../../../../shared-core/mix/shelf-facts.ts'
import type { Cup } from '../../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../../shared-core/records/mixture.ts'
import type { Bench, BenchStep } from './bench-steps.ts'

export type Levels = {
  /** Millilitres where every volume is known; else grams, and the cup has no marks of its own. */
  unit: 'mL' | 'g'
  now: number
  /** Once the step that is shown is in. */
  after: number
  total: number
  /** What the drawing ends at. */
  brim: number
}

/** How full the cup is, is going to be next, and at the end. */
export function levelsOf(
  { rest, measuring }: Bench,
  step: BenchStep,
  cup: Cup,
  materials: readonly Material[],
): Levels {
  const densityOf = densityFrom(materials)
  const wet = rest.lines.filter(({ powder }) => !powder)
  const byVolume = measuring.by === 'volume' || wet.every(({ material }) => densityOf(material) !== null)
  const level = (of: (line: (typeof wet)[number]) => Rational): number =>
    toNumber(
      wet.reduce((sum, line) => {
        const density = byVolume && measuring.by === 'mass' ? fromNumber(densityOf(line.material) ?? 1) : one
        const { numerator, denominator } = density
        return add(sum, multiply(of(line), { numerator: denominator, denominator: numerator }))
      }, zero),
    )
  const current = step.kind === 'pour' ? rest.lines[step.no - 1] : undefined
  const total = level(({ wanted }) => wanted)
  return {
    unit: byVolume ? 'mL' : 'g',
    now: level(({ poured }) => poured ?? zero),
    after: level((line) => add(line.poured ?? zero, line === current ? line.toPour : zero)),
    total,
    brim: byVolume && cup.cupMl !== null ? Math.max(cup.cupMl, total) : total * 1.15,
  }
}
