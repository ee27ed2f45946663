import { toNumber } from '../../../shared-core/mix/rational.ts'
import { isToBuy, sayStock, stockBasis, stockState } from '../../../shared-core/mix/stock.ts'
import { findUnit } from '../../../shared-core/mix/units/unit-table.ts'
import { formatNumber } from '../../../shared-core/mix/units.ts'
import type { Material } from '../../../shared-core/records/mixture.ts'
import type { Wording } from '../mix/say-amounts.ts'

/** "350 mL", "used up", "not counted". */
export function onHandInWords(material: Material, { system, decimal }: Wording): string {
  const { onHand } = material
  if (onHand === null) return 'Not counted'
  return onHand.amount === 0 ? 'Used up' : sayStock(onHand.amount, onHand.basis, system, decimal)
}

/** What is to be done about it; empty when nothing is. */
export function stockAdvice(material: Material): string {
  if (isToBuy(material)) return 'Buy again'
  return !material.onShelf && stockState(material) !== 'used-up' ? 'Off the shelf' : ''
}

/** "below 100 mL". */
export const markInWords = (material: Material, { system, decimal }: Wording): string =>
  material.reorderAt === null ? '' : `below ${sayStock(material.reorderAt, stockBasis(material), system, decimal)}`

/** Prices go by the litre, or by the quart where ounces are used. */
export const costUnit = ({ system }: Wording): { name: string; litres: number } =>
  system === 'us'
    ? { name: 'quart', litres: toNumber(findUnit('volume', 'qt')!.factor) / 1000 }
    : { name: 'litre', litres: 1 }

export const costInWords = ({ costPerL }: Material, wording: Wording): string =>
  costPerL === null ? '' : formatNumber(costPerL * costUnit(wording).litres, 2, wording.decimal)
