import type { Kysely, Transaction } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { versionOf } from '../opening/migrate.ts'
import { refreshDerived } from '../queries/wall/derived.ts'
import { diskFull, isDiskFull } from '../refusals.ts'
import type { Tables, TrackedTable, TrackedTables } from '../tables.ts'
import { knowsAbout, noteAbout } from './about.ts'
import {
  dropRow,
  dropRows,
  fetchRow,
  fetchRows,
  type Image,
  keepImages,
  patchRow,
  patchRows,
  putRow,
  putRows,
  type Row,
} from './rows.ts'

/** A change as it is announced: `label` reads on after "Undo" ("rename panel P-0042"). */
export type What = {
  label: string
  panelId?: string | null
  /** Id of the change that this is part of, so that a long piece of work is one step to undo; the first part makes it. */
  partOf?: string
  /** Told, once it is kept, of the change that it became part of: another one where `partOf` could not be gone on with. */
  kept?: (changeId: string) => void
}

/**
 * The one way to alter a tracked row: each call records the row before and after. `db` is for reading, and for the few
 * tables that are not tracked; using the rack's own `db` in here waits for ever.
 */
export type Changing = {
  readonly db: Transaction<Tables>
  insert<T extends TrackedTable>(table: T, row: TrackedTables[T]): Promise<void>
  /** Does nothing where the row says so already. @throws when there is no such row */
  update<T extends TrackedTable>(table: T, id: string, patch: Partial<TrackedTables[T]>): Promise<void>
  remove(table: TrackedTable, id: string): Promise<void>
  /** As `insert`, `update` and `remove` of each, with a few statements in place of a few for each. No id twice. */
  insertMany<T extends TrackedTable>(table: T, rows: ReadonlyArray<TrackedTables[T]>): Promise<void>
  updateMany<T extends TrackedTable>(table: T, ids: readonly string[], patch: Partial<TrackedTables[T]>): Promise<void>
  removeMany(table: TrackedTable, ids: readonly string[]): Promise<void>
  /** Says better what was done, and to which panel, once it is known. */
  relabel(label: string, panelId?: string): Promise<void>
}

/** Columns that a later migration added are not in an older image and are not compared. */
export const isAs = (row: Row, image: Row): boolean => Object.keys(image).every((name) => row[name] === image[name])

/** Performs `work` as one transaction that is recorded, or not at all. */
export function performChange<T>(
  db: Kysely<Tables>,
  what: What,
  who: string,
  work: (change: Changing) => Promise<T>,
): Promise<{ value: T; revision: number | null; changeId: string | null }> {
  return inOneGo(db, async (tx) => {
    const earlier = what.partOf
      ? await tx.selectFrom('change').select(['id', 'state']).where('id', '=', what.partOf).executeTakeFirst()
      : undefined
    // what was undone meanwhile is not gone on with: the rest becomes a change of its own
    let goesOn = earlier?.state === 'done' ? earlier.id : undefined
    let changeId = goesOn ?? (earlier ? v7() : (what.partOf ?? v7()))
    let label = what.label
    let panelId = what.panelId ?? null
    let relabelled = false
    const images: Image[] = []
    const fetchThese = async (table: TrackedTable, ids: readonly string[]): Promise<Row[]> => {
      const rows = await fetchRows(tx, table, ids)
      if (rows.length < ids.length) throw new Error(`Not all of ${ids.length} rows are in ${table}`)
      return rows
    }
    const record = (table: TrackedTable, id: string, before: Row | null, after: Row | null) =>
      void images.push({
        table_name: table,
        row_id: id,
        before: before && JSON.stringify(before),
        after: after && JSON.stringify(after),
      })

    const value = await work({
      db: tx,
      insert: async (table, row) => {
        await putRow(tx, table, row)
        record(table, row.id, null, (await fetchRow(tx, table, row.id)) ?? null)
      },
      update: async (table, id, patch) => {
        const before = await fetchRow(tx, table, id)
        if (!before) throw new Error(`No row ${id} in ${table}`)
        const wanted = patch as Row
        if (isAs(before, wanted)) return
        await patchRow(tx, table, id, wanted)
        record(table, id, before, (await fetchRow(tx, table, id)) ?? null)
      },
      remove: async (table, id) => {
        const before = await fetchRow(tx, table, id)
        if (!before) throw new Error(`No row ${id} in ${table}`)
        await dropRow(tx, table, id)
        record(table, id, before, null)
      },
      insertMany: async (table, rows) => {
        const kept = new Map((await putRows(tx, table, rows)).map((row) => [row.id, row]))
        // in the order given: a row may refer to one before it
        for (const { id } of rows) record(table, id, null, kept.get(id) ?? null)
      },
      updateMany: async (table, ids, patch) => {
        const wanted = patch as Row
        const before = (await fetchThese(table, ids)).filter((row) => !isAs(row, wanted))
        const altered = before.map((row) => String(row.id))
        await patchRows(tx, table, altered, wanted)
        const after = new Map((await fetchThese(table, altered)).map((row) => [row.id, row]))
        for (const row of before) record(table, String(row.id), row, after.get(row.id) ?? null)
      },
      removeMany: async (table, ids) => {
        const before = await fetchThese(table, ids)
        await dropRows(tx, table, ids)
        for (const row of before) record(table, String(row.id), row, null)
      },
      relabel: async (better, panel) => {
        label = better
        panelId = panel ?? panelId
        if (!goesOn) return
        await tx.updateTable('change').set({ label }).where('id', '=', goesOn).execute()
        relabelled = true
      },
    })

    if (images.length === 0) return { value, revision: relabelled ? await raiseRevision(tx) : null, changeId: null }
    if (goesOn && (await touchedSince(tx, goesOn, images))) {
      // added to the earlier change, these rows would stand in the way of undoing the later one
      goesOn = undefined
      changeId = v7()
    }
    const seq = goesOn ? await lastSeq(tx, changeId) : 0
    if (!goesOn) {
      await begin(tx, { id: changeId, who, label, panel_id: panelId })
    }
    await keepImages(tx, changeId, seq, images)
    await noteAbout(tx, await numberOf(tx, changeId), seq, images)
    await refreshDerived(tx)
    return { value, revision: await raiseRevision(tx), changeId }
  })
}

/** The row of a new change. What was undone until now is left behind by it. */
async function begin(
  tx: Transaction<Tables>,
  said: { id: string; who: string; label: string; panel_id: string | null },
): Promise<void> {
  await tx.updateTable('change').set({ state: 'abandoned' }).where('state', '=', 'undone').execute()
  const last = (state?: 'done') => {
    const query = tx.selectFrom('change').select((e) => e.fn.coalesce(e.fn.max('seq'), e.lit(0)).as('seq'))
    return (state ? query.where('state', '=', state) : query).executeTakeFirstOrThrow()
  }
  const seq = (await last()).seq + 1
  const follows = (await versionOf(tx)) < knowsAbout ? {} : { follows: (await last('done')).seq }
  const at = new Date().toISOString()
  await tx
    .insertInto('change')
    .values({ ...said, seq, at, state: 'done', ...follows })
    .execute()
}

async function numberOf(tx: Transaction<Tables>, changeId: string): Promise<number> {
  return (await tx.selectFrom('change').select('seq').where('id', '=', changeId).executeTakeFirstOrThrow()).seq
}

/** Whether a change made after this one, and not undone, holds one of these rows. */
async function touchedSince(tx: Transaction<Tables>, changeId: string, images: readonly Image[]): Promise<boolean> {
  const { seq } = await tx.selectFrom('change').select('seq').where('id', '=', changeId).executeTakeFirstOrThrow()
  const later = await tx
    .selectFrom('change_row')
    .innerJoin('change', 'change.id', 'change_row.change_id')
    .select('change_row.row_id')
    .distinct()
    .where('change.seq', '>', seq)
    .where('change.state', '=', 'done')
    .execute()
  const touched = new Set(later.map((row) => row.row_id))
  return images.some((image) => touched.has(image.row_id))
}

async function lastSeq(tx: Transaction<Tables>, changeId: string): Promise<number> {
  const row = await tx
    .selectFrom('change_row')
    .select((e) => e.fn.max('seq').as('seq'))
    .where('change_id', '=', changeId)
    .executeTakeFirst()
  return row?.seq ?? 0
}

export async function raiseRevision(tx: Transaction<Tables>): Promise<number> {
  const { revision } = await tx
    .updateTable('rack_info')
    .set((e) => ({ revision: e('revision', '+', 1) }))
    .returning('revision')
    .executeTakeFirstOrThrow()
  return revision
}

/** A transaction whose failure for want of room is told as such. */
export async function inOneGo<T>(db: Kysely<Tables>, work: (tx: Transaction<Tables>) => Promise<T>): Promise<T> {
  try {
    return await db.transaction().execute(work)
  } catch (error) {
    if (!(error instanceof Refusal) && isDiskFull(error)) throw diskFull()
    throw error
  }
}
