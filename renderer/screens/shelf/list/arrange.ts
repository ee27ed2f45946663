import { nameKey } from '../../../../shared-core/mix/material-names.ts'
import { isToBuy, stockState } from '../../../../shared-core/mix/stock.ts'
import type { Material, MaterialKind } from '../../../../shared-core/records/mixture.ts'
import type { ShelfSort } from '../../../state/shelf.ts'
import { kindInWords, kindsInOrder } from '../kinds-in-words.ts'

export type Rail = { kind: MaterialKind; materials: Material[] }
type Wish = { words: string; sort: ShelfSort; toBuyOnly: boolean }

/** Every word somewhere in what is known of it. */
export function says(material: Material, words: string): boolean {
  const { name, makerName, batch, notes, kind } = material
  const text = nameKey([name, makerName, batch, notes, kindInWords(kind)].join(' '))
  return nameKey(words)
    .split(' ')
    .every((word) => text.includes(word))
}

/** The emptier, the sooner: used up, then by how much of the mark is left, then what was counted, then the rest. */
function need(material: Material): number {
  const { onHand, reorderAt } = material
  if (onHand === null) return 4e9
  if (isToBuy(material)) return reorderAt === null ? 0 : onHand.amount / reorderAt
  return stockState(material) === 'used-up' ? 2 : 1e6 + onHand.amount
}

const byName = (a: Material, b: Material): number => a.name.localeCompare(b.name)
const orders: Readonly<Record<ShelfSort, (a: Material, b: Material) => number>> = {
  name: byName,
  'to-buy': (a, b) => need(a) - need(b),
  // a day that nobody wrote down comes last
  opened: (a, b) => (a.openedOn ?? '9999').localeCompare(b.openedOn ?? '9999'),
  cost: (a, b) => (b.costPerL ?? -1) - (a.costPerL ?? -1),
}

/** The shelf as it is hung: a rail for each kind, what was replaced at the end of its rail. */
export function arrange(materials: readonly Material[], { words, sort, toBuyOnly }: Wish): Rail[] {
  const shown = materials.filter((each) => says(each, words) && (!toBuyOnly || isToBuy(each)))
  const replaced = (each: Material): number => (each.replacedById === null ? 0 : 1)
  return kindsInOrder
    .map((kind) => ({
      kind,
      materials: shown
        .filter((each) => each.kind === kind)
        .toSorted((a, b) => replaced(a) - replaced(b) || orders[sort](a, b) || byName(a, b)),
    }))
    .filter((rail) => rail.materials.length > 0)
}
