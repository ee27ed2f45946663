import type { Basis, Material } from '../records/mixture.ts'
import { fromNumber, toNumber } from './rational.ts'
import { fromRecord } from './units/unit-table.ts'
import { type Decimal, formatQuantity, formatShort, parseQuantity, type UnitSystem } from './units.ts'

/** What a count says of a material. */

/** Dry powder is weighed, everything else is measured or weighed (common practice, no source). */
export const isPowder = ({ kind }: Pick<Material, 'kind'>): boolean => kind === 'pearl' || kind === 'flake'

/** What amounts of it are meant in: as it was counted, else as its kind is usually measured. */
export const stockBasis = (material: Pick<Material, 'kind' | 'onHand'>): Basis =>
  material.onHand?.basis ?? (isPowder(material) ? 'mass' : 'volume')

export type StockState = 'not-counted' | 'used-up' | 'low' | 'enough'

/** `low`: below its mark, so it is to be bought again. What is used up is, too, once it has a mark. */
export function stockState({ onHand, reorderAt }: Pick<Material, 'onHand' | 'reorderAt'>): StockState {
  if (onHand === null) return 'not-counted'
  if (onHand.amount === 0) return 'used-up'
  return reorderAt !== null && onHand.amount < reorderAt ? 'low' : 'enough'
}

/** To be bought again: it has a mark, and there is less. What took its place is bought instead. */
export const isToBuy = (material: Pick<Material, 'onHand' | 'reorderAt' | 'replacedById'>): boolean =>
  material.replacedById === null &&
  material.reorderAt !== null &&
  material.onHand !== null &&
  material.onHand.amount < material.reorderAt

export type ReadStock =
  | { ok: true; amount: number; basis: Basis; unit: string; unitAssumed: boolean }
  | { ok: false; message: string; remedy: string }

/**
 * A typed amount of a material, by volume or by mass as its unit says: "350 ml", "12 fl oz", "2.1 lb". An ounce and a
 * bare number are taken as `basis`. 0 is an amount here: it is used up.
 */
export function readStock(text: string, basis: Basis, system: UnitSystem): ReadStock {
  const nothing = /^0(?:[.,]0+)?\s*(?:\p{L}.*)?$/u.test(text.trim())
  // zero of a unit is read as one of it
  const typed = nothing ? text.trim().replace(/^0(?:[.,]0+)?/u, '1') : text
  const other: Basis = basis === 'volume' ? 'mass' : 'volume'
  const first = parseQuantity(typed, basis, system)
  for (const [each, read] of [
    [basis, first],
    [other, parseQuantity(typed, other, system)],
  ] as const) {
    if (!read.ok) continue
    if (read.value > 1_000_000) return tooMuch
    const { unit, unitAssumed } = read
    return { ok: true, amount: nothing ? 0 : read.value, basis: each, unit, unitAssumed }
  }
  return first.ok ? tooMuch : { ok: false, message: first.message, remedy: 'Write it like 350 mL, 12 fl oz or 2.1 lb.' }
}

const tooMuch: ReadStock = {
  ok: false,
  message: 'That is more than a shelf holds.',
  remedy: 'Enter less than 1000 L or 1000 kg.',
}

/** "350 mL", "2.35 L", "1.2 kg", "12 fl oz", "2.1 lb": the larger unit from one of it on. */
export function sayStock(amount: number, basis: Basis, system: UnitSystem, decimal: Decimal): string {
  const measure = basis === 'mass' ? 'mass' : 'volume'
  const large = { metric: { mass: 'kg', volume: 'L' }, us: { mass: 'lb', volume: 'gal' } }[system][measure]
  const many = toNumber(fromRecord(fromNumber(amount), measure, large))
  return many >= 1 ? `${formatShort(many, 3, decimal)} ${large}` : formatQuantity(amount, measure, system, decimal)
}
