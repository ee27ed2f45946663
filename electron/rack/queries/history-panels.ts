import { type Kysely, sql } from 'kysely'
import type { PanelNamed } from '../../../shared-core/records/history.ts'
import type { PanelRow, Tables } from '../tables.ts'
import { among } from './among.ts'
import { panelAbsent } from './panels.ts'

/** Panels by their names, also those that were removed and those whose making was undone. */

type Named = Pick<PanelRow, 'id' | 'code' | 'title' | 'deleted_at'>

const asNamed = ({ id, code, title, deleted_at }: Named): PanelNamed => ({
  id,
  code,
  title,
  where: deleted_at === null ? 'rack' : 'trash',
})

export async function namePanels(db: Kysely<Tables>, ids: readonly string[]): Promise<Map<string, PanelNamed>> {
  if (ids.length === 0) return new Map()
  const rows = await db
    .selectFrom('panel')
    .select(['id', 'code', 'title', 'deleted_at'])
    .where('id', 'in', among([...new Set(ids)]))
    .execute()
  const named = new Map(rows.map((row) => [row.id, asNamed(row)]))
  for (const id of new Set(ids)) {
    if (named.has(id)) continue
    const gone = await lastKnown(db, id)
    if (gone) named.set(id, gone)
  }
  return named
}

/** As the last change of it that there is says. */
async function lastKnown(db: Kysely<Tables>, id: string): Promise<PanelNamed | null> {
  const { rows } = await sql<{ image: string }>`select coalesce(change_row.after, change_row.before) as image
    from change_about
    join change on change.seq = change_about.change_seq
    join change_row on change_row.change_id = change.id and change_row.seq = change_about.row_seq
    where change_about.about = ${id} and change_row.table_name = 'panel'
    order by change_about.change_seq desc, change_about.row_seq desc limit 1`.execute(db)
  const image = rows[0] && (JSON.parse(rows[0].image) as PanelRow)
  return image ? { id, code: image.code, title: image.title, where: 'gone' } : null
}

/** @param key  id, or the code of a panel that is in the rack, else of one in the trash @throws Refusal `panel/absent` */
export async function namePanel(db: Kysely<Tables>, key: string): Promise<PanelNamed> {
  const byId = (await namePanels(db, [key])).get(key)
  if (byId) return byId
  const rows = await db
    .selectFrom('panel')
    .select(['id', 'code', 'title', 'deleted_at'])
    .where('code', '=', key.trim())
    .orderBy('deleted_at', (order) => order.desc().nullsFirst())
    .execute()
  const [row] = rows
  if (!row) throw panelAbsent()
  return asNamed(row)
}

/** The change that put a panel into the trash, while it lies there. */
export async function removalOf(db: Kysely<Tables>, panel: PanelNamed): Promise<string | null> {
  if (panel.where !== 'trash') return null
  const { rows } = await sql<{ id: string }>`select change.id from change_about
    join change on change.seq = change_about.change_seq
    join change_row on change_row.change_id = change.id and change_row.seq = change_about.row_seq
    where change_about.about = ${panel.id} and change.state = 'done' and change_row.table_name = 'panel'
      and json_extract(change_row.after, '$.deleted_at') is not null
      and json_extract(change_row.before, '$.deleted_at') is null
    order by change_about.change_seq desc limit 1`.execute(db)
  return rows[0]?.id ?? null
}

const mostFound = 30

/** Panels whose code or title has these words; without words, those that are not in the rack any more, removed last first. */
export async function findPanels(db: Kysely<Tables>, words: string): Promise<PanelNamed[]> {
  const wanted = words.trim().toLowerCase()
  const gone = await listGone(db)
  if (wanted === '') {
    const trash = await db
      .selectFrom('panel')
      .select(['id', 'code', 'title', 'deleted_at'])
      .where('deleted_at', 'is not', null)
      .orderBy('deleted_at', 'desc')
      .limit(mostFound)
      .execute()
    return [...trash.map(asNamed), ...gone].slice(0, mostFound)
  }
  const has = ({ code, title }: { code: string; title: string }) => `${code} ${title}`.toLowerCase().includes(wanted)
  // few columns of every panel: SQLite folds only ASCII, and the index of words has none that are in the trash
  const all = await db.selectFrom('panel').select(['id', 'code', 'title', 'deleted_at']).execute()
  const begins = ({ code }: { code: string }) => code.toLowerCase().startsWith(wanted)
  return [...all.filter(has).map(asNamed), ...gone.filter(has)]
    .toSorted((a, b) => Number(begins(b)) - Number(begins(a)) || (a.code < b.code ? -1 : 1))
    .slice(0, mostFound)
}

/** Panels whose making was undone. */
async function listGone(db: Kysely<Tables>): Promise<PanelNamed[]> {
  const { rows } = await sql<{ row_id: string; after: string }>`select change_row.row_id, change_row.after
    from change join change_row on change_row.change_id = change.id
    where change.state in ('undone', 'abandoned') and change_row.table_name = 'panel' and change_row.before is null
      and not exists (select 1 from panel where panel.id = change_row.row_id)
    order by change.seq desc limit ${mostFound}`.execute(db)
  return rows.map(({ row_id, after }) => {
    const { code, title } = JSON.parse(after) as PanelRow
    return { id: row_id, code, title, where: 'gone' }
  })
}
