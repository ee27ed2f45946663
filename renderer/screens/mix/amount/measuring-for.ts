import { type Measuring, usualMeasuring } from '../../../../shared-core/mix/cup/measuring.ts'
import type { DensityOf } from '../../../../shared-core/mix/quantities.ts'
import { densityFrom } from '../../../../shared-core/mix/shelf-facts.ts'
import type { Material, Mixture } from '../../../../shared-core/records/mixture.ts'

export type NamedMeasuring = { title: string; measuring: Measuring }

const titled = (title: string): NamedMeasuring =>
  usualMeasuring.find((each) => each.title === title) ?? usualMeasuring[0]!

/**
 * What a cup is measured with: as chosen; else a scale, the finer way, unless the formula goes by volume and a density is
 * wanting, when only a marked cup can tell. Powders are weighed either way.
 */
export function measuringFor(chosen: string | null, mixture: Mixture, materials: readonly Material[]): NamedMeasuring {
  if (chosen !== null) return titled(chosen)
  const isScale = mixture.basis === 'mass' || canBeWeighed(mixture, densityFrom(materials))
  return titled(isScale ? 'Scale, 0.1 g' : 'Cup with marks, 1 mL')
}

const canBeWeighed = ({ parts }: Mixture, densityOf: DensityOf): boolean =>
  parts.every(
    ({ unit, material, mixture }) =>
      unit === 'grams-per-litre' ||
      (material ? densityOf(material) !== null : mixture !== null && canBeWeighed(mixture, densityOf)),
  )
