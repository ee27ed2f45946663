import { CompiledQuery, type Kysely } from 'kysely'
import type { Tables, TrackedTable } from '../tables.ts'

/**
 * Rows of tracked tables, written and read whole. The statements are put together here and not by the query builder: a
 * change or an undo of thousands of rows would spend most of its time in it.
 */
export type Row = Record<string, string | number | null>
export type Image = { table_name: TrackedTable; row_id: string; before: string | null; after: string | null }

type Bound = string | number | null

async function run<T>(db: Kysely<Tables>, statement: string, bound: readonly (Bound | undefined)[]): Promise<T[]> {
  const { rows } = await db.executeQuery<T>(CompiledQuery.raw(statement, [...bound]))
  return rows
}

const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`
const amongIds = 'id in (select value from json_each(?))'
const settings = (patch: Row): string =>
  Object.keys(patch)
    .map((name) => `${quoted(name)} = ?`)
    .join(', ')

export async function fetchRow(db: Kysely<Tables>, table: TrackedTable, id: string): Promise<Row | undefined> {
  return (await run<Row>(db, `select * from ${quoted(table)} where id = ?`, [id]))[0]
}

/** Rows in no order; those that are not there are left out. */
export function fetchRows(db: Kysely<Tables>, table: TrackedTable, ids: readonly string[]): Promise<Row[]> {
  return run<Row>(db, `select * from ${quoted(table)} where ${amongIds}`, [JSON.stringify(ids)])
}

export async function putRow(db: Kysely<Tables>, table: TrackedTable, row: Row): Promise<void> {
  const names = Object.keys(row)
  const places = names.map(() => '?').join(', ')
  await run(
    db,
    `insert into ${quoted(table)} (${names.map(quoted).join(', ')}) values (${places})`,
    names.map((name) => row[name]),
  )
}

/** As many at a time as a statement bears; each size is prepared once. */
const rowsAtOnce = 40

/** @returns the rows as they then stand in the table, in no order */
export async function putRows(db: Kysely<Tables>, table: TrackedTable, rows: readonly Row[]): Promise<Row[]> {
  const byColumns = Map.groupBy(rows, (row) => Object.keys(row).join())
  const put: Row[] = []
  for (const alike of byColumns.values()) put.push(...(await putAlike(db, table, alike)))
  return put
}

async function putAlike(db: Kysely<Tables>, table: TrackedTable, rows: readonly Row[]): Promise<Row[]> {
  const names = Object.keys(rows[0] ?? {})
  const each = `(${names.map(() => '?').join(', ')})`
  const put: Row[] = []
  for (const some of inLots(rows)) {
    const places = some.map(() => each).join(', ')
    const bound = some.flatMap((row) => names.map((name) => row[name]))
    const columns = names.map(quoted).join(', ')
    put.push(...(await run<Row>(db, `insert into ${quoted(table)} (${columns}) values ${places} returning *`, bound)))
  }
  return put
}

/** Whole lots, then one by one, so that few statements are prepared. */
function* inLots<T>(items: readonly T[]): Generator<readonly T[]> {
  let at = 0
  for (; at + rowsAtOnce <= items.length; at += rowsAtOnce) yield items.slice(at, at + rowsAtOnce)
  for (; at < items.length; at++) yield items.slice(at, at + 1)
}

export async function patchRow(db: Kysely<Tables>, table: TrackedTable, id: string, patch: Row): Promise<void> {
  if (Object.keys(patch).length === 0) return
  await run(db, `update ${quoted(table)} set ${settings(patch)} where id = ?`, [...Object.values(patch), id])
}

export async function patchRows(
  db: Kysely<Tables>,
  table: TrackedTable,
  ids: readonly string[],
  patch: Row,
): Promise<void> {
  if (ids.length === 0 || Object.keys(patch).length === 0) return
  await run(db, `update ${quoted(table)} set ${settings(patch)} where ${amongIds}`, [
    ...Object.values(patch),
    JSON.stringify(ids),
  ])
}

export async function dropRow(db: Kysely<Tables>, table: TrackedTable, id: string): Promise<void> {
  await run(db, `delete from ${quoted(table)} where id = ?`, [id])
}

export async function dropRows(db: Kysely<Tables>, table: TrackedTable, ids: readonly string[]): Promise<void> {
  await run(db, `delete from ${quoted(table)} where ${amongIds}`, [JSON.stringify(ids)])
}

/** @param after  number of the last image that the change has */
export async function keepImages(
  db: Kysely<Tables>,
  changeId: string,
  after: number,
  images: readonly Image[],
): Promise<void> {
  let seq = after
  for (const some of inLots(images)) {
    const places = some.map(() => '(?, ?, ?, ?, ?, ?)').join(', ')
    const bound = some.flatMap((image) => [changeId, ++seq, image.table_name, image.row_id, image.before, image.after])
    await run(db, `insert into change_row (change_id, seq, table_name, row_id, before, after) values ${places}`, bound)
  }
}
