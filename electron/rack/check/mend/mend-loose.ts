import { CompiledQuery, sql } from 'kysely'
import type { Changing } from '../../history/change.ts'
import { fetchRow, type Row } from '../../history/rows.ts'
import type { Rack } from '../../opening/open.ts'
import { type TrackedTable, trackedTables } from '../../tables.ts'
import type { LooseRow } from '../exam/loose-rows.ts'
import { mendLabels } from './labels.ts'
import { lastImages } from './last-image.ts'

/** Rows that were put back from the history, references that were left empty, rows that were taken out. */
export type MendedLoose = { back: number; emptied: number; out: number }

/**
 * Puts right rows that name something that is not there, as one change: what the history still knows is put back; a reference
 * that may be empty is emptied; what cannot be without it is taken out, with what hangs on it.
 */
export async function mendLoose(rack: Rack, loose: readonly LooseRow[]): Promise<MendedLoose> {
  const done = { back: 0, emptied: 0, out: 0 }
  await rack.change({ label: mendLabels.loose }, async (change) => {
    for (const { parent, parentId } of loose) {
      if (parentId === null || !isTracked(parent) || (await fetchRow(change.db, parent, parentId))) continue
      if (await fromHistory(change, parent, parentId)) done.back++
    }
    // those of one that was put back are not loose any more
    for (const row of loose) {
      if (row.id === null || !isTracked(row.table)) continue
      const present = await fetchRow(change.db, row.table, row.id)
      if (!present || !(await isLoose(change, row))) continue
      if (await mayBeEmpty(change, row)) {
        await change.update(row.table, row.id, { [row.column]: null })
        done.emptied++
      } else done.out += await takeOut(change, row.table, row.id)
    }
  })
  // what belongs to no tracked table is not the painter's
  const rest = await sql<{ table: string; rowid: number | null }>`pragma foreign_key_check`.execute(rack.db)
  for (const { table, rowid } of rest.rows)
    if (rowid !== null && !isTracked(table))
      await rack.db.executeQuery(CompiledQuery.raw(`delete from "${table}" where rowid = ?`, [rowid]))
  return done
}

const isTracked = (table: string): table is TrackedTable => (trackedTables as readonly string[]).includes(table)

/** The row as the history had it last. */
async function fromHistory(change: Changing, table: TrackedTable, id: string): Promise<boolean> {
  const image = await lastImages(change.db, table, id)
  const json = image?.after ?? image?.before
  if (!json) return false
  try {
    await change.insert(table, JSON.parse(json) as never)
    return true
  } catch (error) {
    // what it named itself is gone too
    if ((error as { code?: string }).code?.startsWith('SQLITE_CONSTRAINT') || error instanceof SyntaxError) return false
    throw error
  }
}

async function isLoose(change: Changing, { table, id, column, parent }: LooseRow): Promise<boolean> {
  const { rows } = await change.db.executeQuery(
    CompiledQuery.raw(
      `select 1 from "${table}" where id = ? and "${column}" is not null and "${column}" not in (select id from "${parent}")`,
      [id],
    ),
  )
  return rows.length > 0
}

/** Tried in a savepoint: a CHECK may want one of two references. */
async function mayBeEmpty(change: Changing, { table, id, column }: LooseRow): Promise<boolean> {
  await sql`savepoint trying`.execute(change.db)
  try {
    await change.db.executeQuery(CompiledQuery.raw(`update "${table}" set "${column}" = null where id = ?`, [id]))
    return true
  } catch (error) {
    if ((error as { code?: string }).code?.startsWith('SQLITE_CONSTRAINT')) return false
    throw error
  } finally {
    await sql`rollback to trying`.execute(change.db)
    await sql`release trying`.execute(change.db)
  }
}

/** Takes a row out, after all that names it. @returns how many rows went */
async function takeOut(change: Changing, table: TrackedTable, id: string): Promise<number> {
  let out = 0
  for (const other of trackedTables) {
    const keys = await change.db.executeQuery<{ table: string; from: string }>(
      CompiledQuery.raw(`pragma foreign_key_list("${other}")`),
    )
    for (const { from } of keys.rows.filter((key) => key.table === table)) {
      const rows = await change.db.executeQuery<Row>(
        CompiledQuery.raw(`select id from "${other}" where "${from}" = ?`, [id]),
      )
      for (const row of rows.rows) {
        const loose: LooseRow = { table: other, id: String(row.id), column: from, parent: table, parentId: id }
        if (row.id === id && other === table) continue
        if (await mayBeEmpty(change, loose)) await change.update(other, String(row.id), { [from]: null })
        else out += await takeOut(change, other, String(row.id))
      }
    }
  }
  await change.remove(table, id)
  return out + 1
}
