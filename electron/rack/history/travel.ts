import type { Kysely, Transaction } from 'kysely'
import { versionOf } from '../opening/migrate.ts'
import { refreshDerived } from '../queries/wall/derived.ts'
import { conflict, nothingToRedo, nothingToUndo } from '../refusals.ts'
import { type Tables, type TrackedTable, trackedTables } from '../tables.ts'
import { knowsAbout } from './about.ts'
import { inOneGo, isAs, raiseRevision } from './change.ts'
import { dropRow, dropRows, fetchRow, fetchRows, type Image, patchRow, putRow, putRows, type Row } from './rows.ts'

/** Undo and redo: rows of a change go back to what they were before it, or to what they were after. */
export type Done = { label: string; panelId: string | null; revision: number }

const differing = (row: Row, image: Row): Row =>
  Object.fromEntries(Object.entries(image).filter(([name, value]) => row[name] !== value))

/**
 * Takes back the last change, or does again the one undone last.
 * @param who    who asks for it
 * @throws Refusal `history/nothing`; `history/conflict` when a row is not as the change left it, with nothing changed
 */
export function travel(db: Kysely<Tables>, direction: 'undo' | 'redo', who = ''): Promise<Done> {
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
      for (const run of runsOf(images as Image[], back)) await replaceRun(tx, run)
    } catch (error) {
      const code = (error as { code?: string }).code ?? ''
      if (error instanceof Changed || code.startsWith('SQLITE_CONSTRAINT')) throw conflict(change.label)
      throw error
    }
    const told = back ? { undone_at: new Date().toISOString(), undone_by: who } : { undone_at: null, undone_by: null }
    await tx
      .updateTable('change')
      .set({ state: back ? 'undone' : 'done', ...((await versionOf(tx)) < knowsAbout ? {} : told) })
      .where('id', '=', change.id)
      .execute()
    await refreshDerived(tx)
    return { label: change.label, panelId: change.panel_id, revision: await raiseRevision(tx) }
  })
}

/** A row is not as the history knows it. */
class Changed extends Error {}

type Replacing = { table: TrackedTable; id: string; from: string | null; to: string | null }

/** Their rows name each other, and RESTRICT is looked at row by row: they go in their order, one by one. */
export const selfReferring: readonly TrackedTable[] = ['mixture', 'material', 'photo']

/** At most so many rows come or go at once. */
const longestRun = 400

/** Rows of one table that only come, or only go, one after the other; everything else by itself. */
function* runsOf(images: readonly Image[], back: boolean): Generator<Replacing[]> {
  const kindOf = ({ from, to }: Replacing) => (to === null ? 'goes' : from === null ? 'comes' : 'changes')
  let run: Replacing[] = []
  for (const { table_name, row_id, before, after } of images) {
    const [from, to] = back ? [after, before] : [before, after]
    const next = { table: table_name, id: row_id, from, to }
    const [first] = run
    const alike = first && first.table === next.table && kindOf(first) === kindOf(next) && kindOf(next) !== 'changes'
    if (first && (!alike || run.length >= longestRun || selfReferring.includes(first.table))) {
      yield run
      run = []
    }
    run.push(next)
  }
  if (run.length > 0) yield run
}

async function replaceRun(tx: Transaction<Tables>, run: readonly Replacing[]): Promise<void> {
  const [first] = run
  if (!first) return
  const { table } = first
  // a row that comes twice in one change is looked at each time
  if (run.length === 1 || new Set(run.map(({ id }) => id)).size < run.length) {
    for (const { id, from, to } of run) await replace(tx, table, id, from, to)
    return
  }
  mustBeTracked(table)
  const ids = run.map(({ id }) => id)
  const present = new Map((await fetchRows(tx, table, ids)).map((row) => [row.id, row]))
  if (first.to === null) {
    const isThere = ({ id, from }: Replacing) => {
      const row = present.get(id)
      return row !== undefined && from !== null && isAs(row, JSON.parse(from) as Row)
    }
    if (!run.every(isThere)) throw new Changed()
    await dropRows(tx, table, ids)
    return
  }
  if (present.size > 0) throw new Changed()
  await putRows(
    tx,
    table,
    run.map(({ to }) => JSON.parse(to ?? '') as Row),
  )
}

function mustBeTracked(table: TrackedTable): void {
  if (!trackedTables.includes(table)) throw new Error(`The history names a table that is not tracked: ${table}`)
}

async function replace(
  tx: Transaction<Tables>,
  table: TrackedTable,
  id: string,
  from: string | null,
  to: string | null,
): Promise<void> {
  mustBeTracked(table)
  const present = await fetchRow(tx, table, id)
  const wanted = to === null ? null : (JSON.parse(to) as Row)
  if (from === null) {
    if (present) throw new Changed()
    if (wanted) await putRow(tx, table, wanted)
    return
  }
  if (!present || !isAs(present, JSON.parse(from) as Row)) throw new Changed()
  if (wanted === null) await dropRow(tx, table, id)
  // only what differs: triggers look at which columns are named
  else await patchRow(tx, table, id, differing(present, wanted))
}
