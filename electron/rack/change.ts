import { type Kysely, sql, type Transaction } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { refreshWords } from './queries/words.ts'
import { conflict, diskFull, isDiskFull, nothingToRedo, nothingToUndo } from './refusals.ts'
import { type Tables, type TrackedTable, type TrackedTables, trackedTables } from './tables.ts'

/** A change as it is announced: `label` reads on after "Undo" ("rename panel P-0042"). */
export type What = {
  label: string
  panelId?: string | null
  /** Id of the change that this is part of, so that a long piece of work is one step to undo; the first part makes it. */
  partOf?: string
}

/**
 * The one way to alter a tracked row: each call records the row before and after. `db` is for reading, and for the few
 * tables that are not tracked; using the rack's own `db` in here waits for ever.
 */
export type Changing = {
  readonly db: Transaction<Tables>
  /** Id of the change that this work becomes part of. */
  readonly changeId: string
  insert<T extends TrackedTable>(table: T, row: TrackedTables[T]): Promise<void>
  /** Does nothing where the row says so already. @throws when there is no such row */
  update<T extends TrackedTable>(table: T, id: string, patch: Partial<TrackedTables[T]>): Promise<void>
  remove(table: TrackedTable, id: string): Promise<void>
  /** Says better what was done, and to which panel, once it is known. */
  relabel(label: string, panelId?: string): Promise<void>
}

export type Done = { label: string; panelId: string | null; revision: number }
type Row = Record<string, string | number | null>
type Image = { table_name: TrackedTable; row_id: string; before: string | null; after: string | null }

async function fetchRow(db: Kysely<Tables>, table: TrackedTable, id: string): Promise<Row | undefined> {
  const { rows } = await sql<Row>`select * from ${sql.table(table)} where id = ${id}`.execute(db)
  return rows[0]
}

async function putRow(db: Kysely<Tables>, table: TrackedTable, row: Row): Promise<void> {
  const names = Object.keys(row)
  await sql`insert into ${sql.table(table)} (${sql.join(names.map((name) => sql.ref(name)))})
    values (${sql.join(names.map((name) => row[name]))})`.execute(db)
}

async function patchRow(db: Kysely<Tables>, table: TrackedTable, id: string, patch: Row): Promise<void> {
  const settings = Object.keys(patch).map((name) => sql`${sql.ref(name)} = ${patch[name]}`)
  await sql`update ${sql.table(table)} set ${sql.join(settings)} where id = ${id}`.execute(db)
}

async function dropRow(db: Kysely<Tables>, table: TrackedTable, id: string): Promise<void> {
  await sql`delete from ${sql.table(table)} where id = ${id}`.execute(db)
}

/** Columns that a later migration added are not in an older image and are not compared. */
const isAs = (row: Row, image: Row): boolean => Object.keys(image).every((name) => row[name] === image[name])

/** Performs `work` as one transaction that is recorded, or not at all. */
export function performChange<T>(
  db: Kysely<Tables>,
  what: What,
  who: string,
  work: (change: Changing) => Promise<T>,
): Promise<{ value: T; revision: number | null }> {
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
    const record = (table: TrackedTable, id: string, before: Row | null, after: Row | null) =>
      void images.push({
        table_name: table,
        row_id: id,
        before: before && JSON.stringify(before),
        after: after && JSON.stringify(after),
      })

    const value = await work({
      db: tx,
      changeId,
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
      relabel: async (better, panel) => {
        label = better
        panelId = panel ?? panelId
        if (!goesOn) return
        await tx.updateTable('change').set({ label }).where('id', '=', goesOn).execute()
        relabelled = true
      },
    })

    if (images.length === 0) return { value, revision: relabelled ? await raiseRevision(tx) : null }
    if (goesOn && (await touchedSince(tx, goesOn, images))) {
      // added to the earlier change, these rows would stand in the way of undoing the later one
      goesOn = undefined
      changeId = v7()
    }
    let seq = goesOn ? await lastSeq(tx, changeId) : 0
    if (!goesOn) {
      await tx.updateTable('change').set({ state: 'abandoned' }).where('state', '=', 'undone').execute()
      const { next } = await tx
        .selectFrom('change')
        .select((e) => e.fn.coalesce(e.fn.max('seq'), e.lit(0)).as('next'))
        .executeTakeFirstOrThrow()
      await tx
        .insertInto('change')
        .values({
          id: changeId,
          seq: next + 1,
          at: new Date().toISOString(),
          who,
          label,
          panel_id: panelId,
          state: 'done',
        })
        .execute()
    }
    for (const image of images)
      await tx
        .insertInto('change_row')
        .values({ change_id: changeId, seq: ++seq, ...image })
        .execute()
    await refreshWords(tx)
    return { value, revision: await raiseRevision(tx) }
  })
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

async function raiseRevision(tx: Transaction<Tables>): Promise<number> {
  const { revision } = await tx
    .updateTable('rack_info')
    .set((e) => ({ revision: e('revision', '+', 1) }))
    .returning('revision')
    .executeTakeFirstOrThrow()
  return revision
}

/**
 * Takes back the last change, or does again the one undone last.
 * @throws Refusal `history/nothing`; `history/conflict` when a row is not as the change left it, with nothing changed
 */
export function travel(db: Kysely<Tables>, direction: 'undo' | 'redo'): Promise<Done> {
  const back = direction === 'undo'
  return inOneGo(db, async (tx) => {
    const change = await tx
      .selectFrom('change')
      .select(['id', 'label', 'panel_id'])
      .where('state', '=', back ? 'done' : 'undone')
      .orderBy('seq', back ? 'desc' : 'asc')
      .limit(1)
      .executeTakeFirst()
    if (!change) throw back ? nothingToUndo() : nothingToRedo()
    const images = await tx
      .selectFrom('change_row')
      .select(['table_name', 'row_id', 'before', 'after'])
      .where('change_id', '=', change.id)
      .orderBy('seq', back ? 'desc' : 'asc')
      .execute()
    try {
      for (const image of images as Image[]) {
        const [from, to] = back ? [image.after, image.before] : [image.before, image.after]
        await replace(tx, image.table_name, image.row_id, from, to)
      }
    } catch (error) {
      const code = (error as { code?: string }).code ?? ''
      if (error instanceof Changed || code.startsWith('SQLITE_CONSTRAINT')) throw conflict(change.label)
      throw error
    }
    await tx
      .updateTable('change')
      .set({ state: back ? 'undone' : 'done' })
      .where('id', '=', change.id)
      .execute()
    await refreshWords(tx)
    return { label: change.label, panelId: change.panel_id, revision: await raiseRevision(tx) }
  })
}

/** A row is not as the history knows it. */
class Changed extends Error {}

async function replace(
  tx: Transaction<Tables>,
  table: TrackedTable,
  id: string,
  from: string | null,
  to: string | null,
): Promise<void> {
  if (!trackedTables.includes(table)) throw new Error(`The history names a table that is not tracked: ${table}`)
  const present = await fetchRow(tx, table, id)
  if (from === null ? present !== undefined : !present || !isAs(present, JSON.parse(from) as Row)) throw new Changed()
  if (to === null) await dropRow(tx, table, id)
  else if (from === null) await putRow(tx, table, JSON.parse(to) as Row)
  else await patchRow(tx, table, id, JSON.parse(to) as Row)
}

/** A transaction whose failure for want of room is told as such. */
async function inOneGo<T>(db: Kysely<Tables>, work: (tx: Transaction<Tables>) => Promise<T>): Promise<T> {
  try {
    return await db.transaction().execute(work)
  } catch (error) {
    if (!(error instanceof Refusal) && isDiskFull(error)) throw diskFull()
    throw error
  }
}
