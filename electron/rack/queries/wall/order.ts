import { type Kysely, type RawBuilder, sql } from 'kysely'
import { hueGroup, lightnessGroup } from '../../../../shared-core/colour/hue-order.ts'
import type { Output } from '../../../../shared-core/contract/calls.ts'
import type { PanelFilter, PanelSort } from '../../../../shared-core/records/panel.ts'
import type { HangingGroup, PanelGroup } from '../../../../shared-core/records/wall.ts'
import { sortKey } from '../../../../shared-core/words/sort-key.ts'
import type { Tables } from '../../tables.ts'
import { filteredPanels, letsAllThrough } from '../panel-filter.ts'

/** Each is the order of one index of `panel_row`. */
const orders: Readonly<Record<PanelSort, RawBuilder<unknown>>> = {
  code: sql`code_key, panel_id`,
  hue: sql`hue_order is null, hue_order, code_key, panel_id`,
  lightness: sql`lightness is null, lightness, code_key, panel_id`,
  ground: sql`ground_key is null, ground_key, code_key, panel_id`,
  candy: sql`candy_key is null, candy_key, code_key, panel_id`,
  date: sql`sprayed_on is null, sprayed_on desc, code_key, panel_id`,
}

const grouping: Readonly<Record<PanelGroup, RawBuilder<string | number | null>>> = {
  none: sql`null`,
  ground: sql`ground`,
  candy: sql`candy`,
  hue: sql`hue_order`,
  lightness: sql`lightness`,
  date: sql`sprayed_on`,
}

/** Which panels fit, in the order asked for, groups one behind the other. Nothing of what they show is read. */
export async function orderPanels(
  db: Kysely<Tables>,
  filter: PanelFilter,
  sort: PanelSort,
  group: PanelGroup,
): Promise<Output<'panels.order'>> {
  const { panels, corrected } = await filteredPanels(db, filter)
  let query = db.selectFrom('panel_row').select(['panel_id', grouping[group].as('by')])
  if (!letsAllThrough(filter)) query = query.where('panel_id', 'in', panels.select('panel.id'))
  const rows = await query.orderBy(orders[sort]).execute()
  return { ...inGroups(rows, group), total: await countPanels(db), corrected }
}

/** How many panels are in the rack. */
export async function countPanels(db: Kysely<Tables>): Promise<number> {
  const { count } = await db
    .selectFrom('panel_row')
    .select((e) => e.fn.countAll().as('count'))
    .executeTakeFirstOrThrow()
  return Number(count)
}

type Row = { panel_id: string; by: string | number | null }
type Group = { name: string | null; place: string | number }

/** Groups in their own order, what is in none last; within one, the order of the rows stays. */
function inGroups(rows: readonly Row[], group: PanelGroup): { ids: string[]; groups: HangingGroup[] } {
  const members = new Map<string | number | null, { name: string | null; ids: string[] }>()
  // names repeat: each is looked at once
  const known = new Map<string | number, Group>()
  for (const { panel_id, by } of rows) {
    const own = by === null ? nowhere : (known.get(by) ?? groupOf(group, by))
    if (by !== null) known.set(by, own)
    const there = members.get(own.place)
    if (there) there.ids.push(panel_id)
    else members.set(own.place, { name: own.name, ids: [panel_id] })
  }
  const places = [...members.keys()].toSorted((a, b) => Number(a === last) - Number(b === last) || (a! < b! ? -1 : 1))
  const ids: string[] = []
  const groups = places.map((place) => {
    const { name, ids: own } = members.get(place)!
    const from = ids.length
    for (const id of own) ids.push(id)
    return { name, from, count: own.length }
  })
  return { ids, groups }
}

const last = ''
const nowhere: Group = { name: null, place: last }

const months = 'January February March April May June July August September October November December'.split(' ')

/** The group of a value, and where it hangs: text by its sort key, all else by a number. */
function groupOf(group: PanelGroup, by: string | number): Group {
  if (group === 'hue') return hueGroup(Number(by))
  if (group === 'lightness') return lightnessGroup(Number(by))
  const text = String(by)
  if (group !== 'date') return { name: text, place: `${sortKey(text)} ${text.toLowerCase()}` }
  const [year, month] = text.split('-').map(Number)
  if (!year || !month) throw new Error(`Not a day: ${text}`)
  // the newest first
  return { name: `${months[month - 1]} ${year}`, place: -(year * 12 + month) }
}
