import { massOf, volumeOf } from '../../../../shared-core/mix/cup/density.ts'
import { fromNumber, toNumber } from '../../../../shared-core/mix/rational.ts'
import { type ReadStock, sayStock } from '../../../../shared-core/mix/stock.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import type { Wording } from '../../mix/say-amounts.ts'

export type How = 'counted' | 'bought' | 'thrown-away'

/** What the shelf will say once it is done; empty while nothing was typed. */
export function afterwards(
  { onHand, densityKgPerL: density }: Material,
  how: How,
  read: ReadStock | null,
  { system, decimal }: Wording,
): string {
  if (read === null) return ''
  if (!read.ok) return `${read.message} ${read.remedy}`
  const say = (amount: number, basis = read.basis) => sayStock(amount, basis, system, decimal)
  if (how === 'counted') return read.amount === 0 ? 'It is used up, and off the shelf.' : `Then ${say(read.amount)}.`
  if (onHand === null)
    return how === 'bought'
      ? `Nobody counted it: the count begins with these ${say(read.amount)}.`
      : 'Nobody counted it: it is only written down.'
  let amount = read.amount
  if (read.basis !== onHand.basis) {
    if (density === null)
      return `It is counted by ${onHand.basis}: write its density below, or this by ${onHand.basis}.`
    amount = toNumber((onHand.basis === 'mass' ? massOf : volumeOf)(fromNumber(amount), density))
  }
  const left = how === 'bought' ? onHand.amount + amount : onHand.amount - amount
  if (left < 0) return `More than the shelf had, which was ${say(onHand.amount, onHand.basis)}: it ends at 0.`
  return left === 0 ? 'Then it is used up, and off the shelf.' : `Then ${say(left, onHand.basis)}.`
}
