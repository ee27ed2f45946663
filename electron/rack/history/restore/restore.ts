import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { giveCode } from '../../queries/rack-info.ts'
import type { TrackedTable } from '../../tables.ts'
import type { Changing } from '../change.ts'
import type { Then } from '../past/panel-at.ts'
import { routeFor } from '../past/route.ts'
import { panelRowsAt, panelRowsNow } from '../past/stood.ts'
import { fetchRow } from '../rows.ts'
import { panelCode } from './name.ts'
import { type Alteration, hindranceOf, planRestore } from './plan.ts'

export const notThere = (why: string) =>
  new Refusal(
    'history/not-there',
    `${why} Nothing was changed.`,
    'Choose an entry before or after which the panel was in the rack.',
  )

export const same = (code: string) =>
  new Refusal('history/same', `${code} stands like that already.`, 'Choose an earlier entry.')

/**
 * Brings a panel back to how it stood after a change, or before it.
 * @throws Refusal `panel/absent`, `history/absent`, `history/unknown`, `history/not-there`, `history/same`
 */
export async function restorePanel(
  change: Changing,
  { panelId, keepLater, ...then }: Then,
): Promise<{ code: string; notes: string[] }> {
  const { db } = change
  const named = await panelCode(db, panelId)
  const route = await routeFor(db, then)
  const past = await panelRowsAt(db, panelId, route)
  const hindrance = hindranceOf(past, named)
  if (hindrance !== null) throw notThere(hindrance)
  const { alterations, notes, code } = await planRestore(db, past, await panelRowsNow(db, panelId), keepLater)
  if (alterations.length === 0) throw same(code)
  await giveCode(db, code)
  for (const { table, does } of order)
    for (const each of inOrder(alterations, table)) await carryOut(change, each, does)
  await change.relabel(`restore panel ${code}`, panelId)
  return { code, notes }
}

type Does = 'put' | 'drop'

/** Rows come after what they name and go before it. A layer lets its old mixture go before that goes. */
const order: ReadonlyArray<{ table: TrackedTable; does: Does }> = [
  ...(['material', 'gun_setup', 'photo', 'panel', 'mixture', 'mixture_part', 'booth_conditions'] as const).map(put),
  drop('layer'),
  put('layer'),
  put('step'),
  put('area'),
  put('reading'),
  drop('reading'),
  put('filing'),
  drop('filing'),
  drop('step'),
  drop('mixture_part'),
  drop('mixture'),
  drop('booth_conditions'),
  drop('tag'),
  put('tag'),
]

function put(table: TrackedTable): { table: TrackedTable; does: Does } {
  return { table, does: 'put' }
}
function drop(table: TrackedTable): { table: TrackedTable; does: Does } {
  return { table, does: 'drop' }
}

/** The outermost mixture comes first and goes last. */
function inOrder(alterations: readonly Alteration[], table: TrackedTable): Alteration[] {
  const these = alterations.filter((each) => each.table === table)
  if (table !== 'mixture') return these
  const isNested = ({ id, to }: Alteration) => to !== null && to.root_id !== id
  return these.toSorted((a, b) => Number(isNested(a)) - Number(isNested(b)))
}

async function carryOut(change: Changing, { table, id, to }: Alteration, does: Does): Promise<void> {
  if ((to === null) !== (does === 'drop')) return
  if (to === null) {
    await change.remove(table, id)
    return
  }
  const row = await fetchRow(change.db, table, id)
  if (!row) {
    await change.insert(table, to as never)
    return
  }
  const patch = Object.fromEntries(Object.entries(to).filter(([name, value]) => row[name] !== value))
  await change.update(table, id, patch)
}
