import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { massOf, volumeOf } from '../../../../shared-core/mix/cup/density.ts'
import { stepsIn } from '../../../../shared-core/mix/cup/measuring.ts'
import {
  add,
  compare,
  fromNumber,
  type Rational,
  rational,
  subtract,
  zero,
} from '../../../../shared-core/mix/rational.ts'
import { stockBasis } from '../../../../shared-core/mix/stock.ts'
import type { StockMove } from '../../../../shared-core/records/cup.ts'
import type { Basis, Material } from '../../../../shared-core/records/mixture.ts'
import type { Changing } from '../../history/change.ts'
import type { Tables } from '../../tables.ts'
import { readMaterial } from '../shelf.ts'

/** What is on hand, and each change of it. */

export type Move = Pick<StockMove, 'materialId' | 'amount' | 'basis' | 'why' | 'cupId' | 'batch' | 'who'>

/** Kept to a millionth of a gram or millilitre: sums of what was typed stay what was typed. */
const kept = (amount: Rational): number => Number(stepsIn(amount, rational(1n, 1_000_000n))) / 1_000_000

/** An amount in another basis; null without a density. */
export function inBasis(amount: Rational, from: Basis, to: Basis, densityKgPerL: number | null): Rational | null {
  if (from === to) return amount
  if (densityKgPerL === null) return null
  return from === 'volume' ? massOf(amount, densityKgPerL) : volumeOf(amount, densityKgPerL)
}

/** @param at  ISO 8601; left out, now */
export async function noteMove(change: Changing, move: Move, at = new Date().toISOString()): Promise<void> {
  const { materialId, cupId, ...said } = move
  await change.insert('stock_move', {
    id: v7(),
    material_id: materialId,
    cup_id: cupId,
    at,
    ...said,
  })
}

/** Sets what there is. Nothing left takes a material off the shelf, something puts it on. */
async function setOnHand(change: Changing, materialId: string, amount: Rational, basis: Basis): Promise<void> {
  const left = kept(amount)
  await change.update('material', materialId, {
    on_hand: left,
    on_hand_basis: basis,
    on_shelf: left > 0 ? 1 : 0,
  })
}

/**
 * Takes what was poured, or thrown away, off the shelf; `amount` is above 0.
 * @returns a sentence when it could not be taken off as it was poured; null when it could
 */
export async function takeOff(change: Changing, move: Move): Promise<string | null> {
  const material = await readMaterial(change.db, move.materialId)
  await noteMove(change, { ...move, amount: -move.amount })
  if (material.onHand === null) return null
  const { amount: had, basis } = material.onHand
  const used = inBasis(fromNumber(move.amount), move.basis, basis, material.densityKgPerL)
  if (used === null) {
    return `${material.name} is counted by ${basis} and was measured by ${move.basis}: without its density it was not taken off the shelf. Enter its density, or count it anew.`
  }
  const left = subtract(fromNumber(had), used)
  const isShort = compare(left, zero) < 0
  await setOnHand(change, material.id, isShort ? zero : left, basis)
  return isShort
    ? `More ${material.name} was used than the shelf had: it is now counted as used up. Count it anew.`
    : null
}

/**
 * Says what is on hand; null forgets the count.
 * @throws Refusal `material/absent`, `mix/no-density`
 */
export async function countMaterial(
  change: Changing,
  materialId: string,
  onHand: Material['onHand'],
  { how, batch, who }: { how: 'counted' | 'bought' | 'thrown-away'; batch: string; who: string },
): Promise<void> {
  const material = await readMaterial(change.db, materialId)
  if (onHand === null) {
    await change.update('material', materialId, { on_hand: null, on_hand_basis: null })
    await keepMark(change, material, stockBasis({ ...material, onHand }))
    return
  }
  const { amount, basis } = onHand
  // nothing bought, nothing thrown away: that says nothing of what there is
  if (batch !== '' && how !== 'thrown-away') await change.update('material', materialId, { batch })
  if (how !== 'counted' && amount === 0) return
  if (how === 'thrown-away') {
    const trouble = await takeOff(change, { materialId, amount, basis, why: how, cupId: null, batch, who })
    if (trouble !== null && material.densityKgPerL === null && material.onHand?.basis !== basis)
      throw noDensity(material)
    return
  }
  await noteMove(change, { materialId, amount, basis, why: how, cupId: null, batch, who })
  if (how === 'counted' || material.onHand === null) {
    await setOnHand(change, materialId, fromNumber(amount), basis)
    await keepMark(change, material, basis)
    return
  }
  const had = material.onHand
  const more = inBasis(fromNumber(amount), basis, had.basis, material.densityKgPerL)
  if (more === null) throw noDensity(material)
  await setOnHand(change, materialId, add(fromNumber(had.amount), more), had.basis)
}

/** A mark in millilitres says nothing of grams: without a density it has to be set anew. @param material  as it was */
export async function keepMark(change: Changing, material: Material, basis: Basis): Promise<void> {
  if (material.reorderAt === null || basis === stockBasis(material)) return
  const mark = inBasis(fromNumber(material.reorderAt), stockBasis(material), basis, material.densityKgPerL)
  await change.update('material', material.id, { reorder_at: mark && kept(mark) > 0 ? kept(mark) : null })
}

const noDensity = ({ name, onHand }: Material): Refusal =>
  new Refusal(
    'mix/no-density',
    `${name} is counted by ${onHand?.basis ?? 'volume'}, and its density is not known.`,
    `Enter the density of ${name}, or the amount by ${onHand?.basis ?? 'volume'}.`,
  )

export async function listMoves(db: Kysely<Tables>, materialId: string, limit: number): Promise<StockMove[]> {
  const rows = await db
    .selectFrom('stock_move')
    .selectAll()
    .where('material_id', '=', materialId)
    .orderBy('at', 'desc')
    .orderBy('id', 'desc')
    .limit(limit)
    .execute()
  return rows.map(({ material_id, cup_id, basis, why, ...row }) => ({
    ...row,
    materialId: material_id,
    cupId: cup_id,
    basis: basis as Basis,
    why: why as StockMove['why'],
  }))
}
