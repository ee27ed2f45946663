import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { areaOf, type Estimate } from '../../../../shared-core/mix/surface/shapes.ts'
import { formatQuantity, type UnitSystem } from '../../../../shared-core/mix/units.ts'
import type { PartSurface, PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { decimalSign, sayNumber, usesUsUnits } from '../../../parts/say-numbers.ts'

export type AreaOrWhy = { ok: true; estimate: Estimate } | { ok: false; message: string; remedy: string }

/** The area of a part, or what is missing for it. */
export function tryArea(surface: PartSurface): AreaOrWhy {
  try {
    return { ok: true, estimate: areaOf(surface) }
  } catch (error) {
    if (error instanceof Refusal) return { ok: false, message: error.message, remedy: error.remedy }
    throw error
  }
}

/** All parts together. Doubts of different parts have nothing to do with each other, so their squares add. */
export function totalArea(parts: readonly Pick<PartToPaint, 'areaM2' | 'areaDoubt'>[]): Estimate {
  const areaM2 = parts.reduce((sum, part) => sum + part.areaM2, 0)
  const doubt = Math.hypot(...parts.map((part) => part.areaM2 * part.areaDoubt))
  return { areaM2, doubt: areaM2 > 0 ? doubt / areaM2 : 0 }
}

/** "0.8 m² ± 5 %". */
export function areaInWords({ areaM2, doubt }: Estimate, settings: Pick<Settings, 'units' | 'decimal'>): string {
  const system: UnitSystem = usesUsUnits(settings) ? 'us' : 'metric'
  const area = formatQuantity(areaM2, 'area', system, decimalSign(settings))
  return doubt > 0 ? `${area} ± ${sayNumber(100 * doubt, 0, settings)} %` : area
}
