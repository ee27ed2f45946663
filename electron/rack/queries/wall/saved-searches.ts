import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { noFilter, type PanelFilter, PanelSort } from '../../../../shared-core/records/panel.ts'
import { PanelGroup, type SavedSearch } from '../../../../shared-core/records/wall.ts'
import type { Changing } from '../../history/change.ts'
import type { SavedSearchRow, Tables } from '../../tables.ts'

const searchAbsent = () =>
  new Refusal(
    'search/absent',
    'This saved search is not there (any more).',
    'Undo brings a removed search back; otherwise save it again.',
  )

const nameTaken = (name: string) =>
  new Refusal(
    'search/name-taken',
    `There is a search called “${name}” already.`,
    'Choose another name, or replace the search that has this one.',
  )

/** What a later version may add to filters is not in an older search. */
const asSearch = (row: SavedSearchRow): SavedSearch => ({
  id: row.id,
  name: row.name,
  filter: { ...noFilter, ...(JSON.parse(row.filter) as PanelFilter) },
  sort: PanelSort.parse(row.sort),
  group: PanelGroup.parse(row.grouping),
})

export async function listSearches(db: Kysely<Tables>): Promise<SavedSearch[]> {
  const rows = await db.selectFrom('saved_search').selectAll().orderBy('name').execute()
  return rows.map(asSearch)
}

/** @throws Refusal `search/absent` */
export async function getSearch(db: Kysely<Tables>, id: string): Promise<SavedSearch> {
  const row = await db.selectFrom('saved_search').selectAll().where('id', '=', id).executeTakeFirst()
  if (!row) throw searchAbsent()
  return asSearch(row)
}

const called = (db: Kysely<Tables>, name: string) =>
  db.selectFrom('saved_search').select(['id', 'name']).where('name', '=', name).executeTakeFirst()

/** @throws Refusal `search/name-taken`, unless it is to be replaced */
export async function saveSearch(
  change: Changing,
  { name, filter, sort, group }: Omit<SavedSearch, 'id'>,
  replace: boolean,
): Promise<SavedSearch> {
  const old = await called(change.db, name)
  if (old && !replace) throw nameTaken(old.name)
  const said = { name, filter: JSON.stringify(filter), sort, grouping: group }
  const id = old?.id ?? v7()
  if (old) await change.update('saved_search', id, said)
  else await change.insert('saved_search', { id, ...said, created_at: new Date().toISOString() })
  return getSearch(change.db, id)
}

/** @throws Refusal `search/absent`, `search/name-taken` */
export async function renameSearch(change: Changing, id: string, name: string): Promise<SavedSearch> {
  await getSearch(change.db, id)
  const other = await called(change.db, name)
  if (other && other.id !== id) throw nameTaken(other.name)
  await change.update('saved_search', id, { name })
  return getSearch(change.db, id)
}
