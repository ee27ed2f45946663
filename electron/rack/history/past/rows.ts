import { type Kysely, sql } from 'kysely'
import { among } from '../../queries/among.ts'
import type { Tables, TrackedTable, TrackedTables } from '../../tables.ts'
import { isAs } from '../change.ts'
import { fetchRows, type Row } from '../rows.ts'
import { pastUnknown, type Route } from './route.ts'

/** Rows of several tables, by table and id. */
export class RowSet {
  private readonly byTable = new Map<TrackedTable, Map<string, Row>>()

  get<T extends TrackedTable>(table: T, id: string): TrackedTables[T] | undefined {
    return this.byTable.get(table)?.get(id) as TrackedTables[T] | undefined
  }

  all<T extends TrackedTable>(table: T): Array<TrackedTables[T]> {
    return [...(this.byTable.get(table)?.values() ?? [])] as unknown as Array<TrackedTables[T]>
  }

  tables(): TrackedTable[] {
    return [...this.byTable.keys()]
  }

  set(table: TrackedTable, id: string, row: Row | null): void {
    const rows = this.byTable.get(table) ?? new Map<string, Row>()
    this.byTable.set(table, rows)
    if (row === null) rows.delete(id)
    else rows.set(id, row)
  }

  add(table: TrackedTable, rows: readonly object[]): void {
    for (const row of rows) this.set(table, (row as { id: string }).id, row as Row)
  }
}

/** A panel's own rows as they are: everything that goes with it and nothing that others use too. */
export async function rowsOfPanel(db: Kysely<Tables>, panelId: string): Promise<RowSet> {
  const rows = new RowSet()
  rows.add('panel', await db.selectFrom('panel').selectAll().where('id', '=', panelId).execute())
  for (const table of ['tag', 'layer', 'step', 'filing'] as const)
    rows.add(table, await db.selectFrom(table).selectAll().where('panel_id', '=', panelId).execute())
  const layers = rows.all('layer')
  const steps = among(rows.all('step').map(({ id }) => id))
  rows.add('reading', await db.selectFrom('reading').selectAll().where('step_id', 'in', steps).execute())
  const roots = among(layers.flatMap(({ mixture_id }) => mixture_id ?? []))
  for (const table of ['mixture', 'mixture_part'] as const)
    rows.add(table, await db.selectFrom(table).selectAll().where('root_id', 'in', roots).execute())
  const booths = layers.flatMap(({ booth_id }) => booth_id ?? [])
  rows.add('booth_conditions', await fetchRows(db, 'booth_conditions', booths))
  return rows
}

/** What panels share and the history knows by itself. */
export const sharedTables = ['material', 'gun_setup', 'photo', 'area', 'light'] as const

/** Rows of these ids as they are, whichever table of what panels share they stand in. */
export async function sharedRows(db: Kysely<Tables>, ids: readonly string[]): Promise<RowSet> {
  const rows = new RowSet()
  for (const table of sharedTables) rows.add(table, await fetchRows(db, table, ids))
  return rows
}

type Found = { label: string; table_name: TrackedTable; row_id: string; before: string | null; after: string | null }

/**
 * Brings rows from how they are to how they stood at the end of the route.
 * @param abouts  ids of the panels or shared things whose rows they are
 * @throws        Refusal `history/unknown` when the rows do not fit what the history says of them
 */
export async function walk(db: Kysely<Tables>, rows: RowSet, abouts: readonly string[], route: Route): Promise<void> {
  const images = (which: ReturnType<typeof sql>, order: ReturnType<typeof sql>) =>
    sql<Found>`select change.label, change_row.table_name, change_row.row_id, change_row.before, change_row.after
      from change_about
      join change on change.seq = change_about.change_seq
      join change_row on change_row.change_id = change.id and change_row.seq = change_about.row_seq
      where change_about.about in ${among(abouts)} and ${which}
      order by change.seq ${order}, change_row.seq ${order}`.execute(db)
  const back = await images(sql`change_about.change_seq > ${route.from} and change.state = 'done'`, sql`desc`)
  for (const { label, table_name, row_id, before, after } of back.rows)
    turn(rows, table_name, row_id, after, before, label)
  if (route.forward.length > 0) {
    const forward = sql`change_about.change_seq in (select value from json_each(${JSON.stringify(route.forward)}))`
    for (const { label, table_name, row_id, before, after } of (await images(forward, sql`asc`)).rows)
      turn(rows, table_name, row_id, before, after, label)
  }
  await complete(db, rows)
}

function turn(
  rows: RowSet,
  table: TrackedTable,
  id: string,
  from: string | null,
  to: string | null,
  label: string,
): void {
  const row = rows.get(table, id) as Row | undefined
  const fits = from === null ? row === undefined : row !== undefined && isAs(row, JSON.parse(from) as Row)
  if (!fits) throw pastUnknown(label)
  rows.set(table, id, to === null ? null : { ...row, ...(JSON.parse(to) as Row) })
}

/** An older image lacks the columns of a later form: they are then as that form began with. */
async function complete(db: Kysely<Tables>, rows: RowSet): Promise<void> {
  for (const table of rows.tables()) {
    const all = rows.all(table)
    if (all.length === 0) continue
    const begin = await beginnings(db, table)
    for (const row of all) {
      const missing = Object.keys(begin).some((name) => !(name in row))
      if (missing) rows.set(table, row.id, { ...begin, ...(row as unknown as Row) })
    }
  }
}

/** What a table's columns are where nothing is said. */
async function beginnings(db: Kysely<Tables>, table: TrackedTable): Promise<Row> {
  const { rows } = await sql<{ name: string; dflt_value: string | null }>`
    pragma table_info(${sql.table(table)})`.execute(db)
  const begin: Row = {}
  for (const { name, dflt_value } of rows) {
    if (dflt_value === null) begin[name] = null
    else
      begin[name] =
        (await sql<{ value: Row[string] }>`select ${sql.raw(dflt_value)} as value`.execute(db)).rows[0]?.value ?? null
  }
  return begin
}
