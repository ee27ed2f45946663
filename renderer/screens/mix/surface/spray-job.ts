import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { fillCup } from '../../../../shared-core/mix/cup/targets.ts'
import type { DensityOf } from '../../../../shared-core/mix/quantities.ts'
import { divide, fromNumber, hundred, multiply, toNumber } from '../../../../shared-core/mix/rational.ts'
import { gunKinds } from '../../../../shared-core/mix/surface/guns.ts'
import { areaOf, type Estimate } from '../../../../shared-core/mix/surface/shapes.ts'
import { type SolidsOf, volumeSolids } from '../../../../shared-core/mix/surface/solids.ts'
import {
  type CoatBuild,
  type SprayJob,
  type SprayNeed,
  sprayNeed,
} from '../../../../shared-core/mix/surface/spray-need.ts'
import { formatQuantity, formatShort } from '../../../../shared-core/mix/units.ts'
import type { Mixture } from '../../../../shared-core/records/mixture.ts'
import type { DraftPart } from '../../../state/mix-draft.ts'
import type { Asked } from '../amount/work-out.ts'

/** A part's area, or what has not been measured yet. */
export function estimateOf({ surface }: Pick<DraftPart, 'surface'>): { area: Estimate } | { wants: string } {
  try {
    return { area: areaOf(surface) }
  } catch (error) {
    if (error instanceof Refusal) return { wants: error.message }
    throw error
  }
}

/** Volume solids of a mixture in percent, from the shelf; or in words what is missing for it. */
export function knownSolids(
  mixture: Mixture,
  solidsOf: SolidsOf,
  densityOf: DensityOf,
): { percent: number } | { message: string; remedy: string } {
  try {
    const litre = fillCup(mixture, { kind: 'amount', basis: mixture.basis, amount: 1000 }, densityOf)
    return { percent: toNumber(multiply(volumeSolids(litre, solidsOf), hundred)) }
  } catch (error) {
    if (error instanceof Refusal) return { message: error.message, remedy: error.remedy }
    throw error
  }
}

export type Sprayed = { job: SprayJob; need: SprayNeed; words: string }

/** The surface, as far as it is known, as a sum; or what is still to be said. */
export function wantedSpray(asked: Asked, solidsOf: SolidsOf, densityOf: DensityOf): Sprayed | { wants: string } {
  const { draft, habits, words } = asked
  const parts: SprayJob['parts'][number][] = asked.jobParts
    .filter(({ id }) => !draft.leftOut.includes(id))
    .map(({ name, areaM2, areaDoubt }) => ({ name, areaM2, doubt: areaDoubt }))
  for (const part of draft.parts) {
    const found = estimateOf(part)
    if ('wants' in found) return found
    parts.push({ name: part.name.trim() || 'Part', ...found.area })
  }
  if (parts.length === 0) return { wants: 'Add the parts that are to be painted.' }
  if (draft.coats === null) return { wants: 'Say how many coats.' }
  const build = buildOf(asked, solidsOf, densityOf)
  if ('wants' in build) return build
  const gun = gunKinds.find(({ name }) => name === habits.gun)
  const typed = draft.transferPercent
  const transfer =
    typed !== null ? { efficiency: typed / 100 } : gun && { efficiency: gun.efficiency, low: gun.low, high: gun.high }
  if (!transfer) return { wants: 'Choose the gun, or say how much of what it sprays stays on the part.' }
  const losses = { hoseMl: habits.hoseMl ?? 0, cupMl: habits.cupLossMl ?? 0, strainerMl: habits.strainerMl ?? 0 }
  const job = { parts, coats: draft.coats, build, transfer, losses }
  const need = sprayNeed(job)
  const area = formatQuantity(toNumber(need.areaM2), 'area', words.system, words.decimal)
  const coats = `${formatShort(draft.coats, 2, words.decimal)} ${draft.coats === 1 ? 'coat' : 'coats'}`
  const on = `${formatShort(transfer.efficiency * 100, 1, words.decimal)} % on the part`
  const names = parts.map(({ name }) => name).join(', ')
  return { job, need, words: `${area}, ${coats}, ${on}: ${names}`.slice(0, 360) }
}

function buildOf(
  { draft, habits, mixture }: Asked,
  solidsOf: SolidsOf,
  densityOf: DensityOf,
): CoatBuild | { wants: string } {
  const { build, micrometres } = habits
  if (micrometres === null) {
    return { wants: `Say how thick one coat is ${build === 'dry' ? 'when it is dry' : 'when it is wet'}.` }
  }
  if (build === 'wet') return { kind: 'wet', micrometres }
  const known = draft.solidsPercent ?? knownSolids(mixture, solidsOf, densityOf)
  if (typeof known === 'number') return { kind: 'dry', micrometres, solids: divide(fromNumber(known), hundred) }
  if ('percent' in known) return { kind: 'dry', micrometres, solids: divide(fromNumber(known.percent), hundred) }
  return { wants: 'Say the volume solids of what is sprayed, or give the coat as it is wet.' }
}
