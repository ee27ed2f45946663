import { type Kysely, sql } from 'kysely'
import { v7 } from 'uuid'
import type { Tables } from '../tables.ts'
import type { Exam } from './exam/exam.ts'
import type { Walked } from './walk.ts'

/** How far looks through have come. Not in the history: it says nothing that the painter did. */

/** What one look through found, beside what became of each kept file. */
export type RunFound = {
  exam: Exam | null
  walked: Walked | null
  /** Originals that lay in the folder under another name, and were put back. */
  renamed: string[]
  /** How many panels had what is derived of them written anew. */
  derivedMended: number
  /** Originals that were brought back from the second place, by themselves, and what they had been. */
  broughtBack: BroughtBack[]
  /** Somebody stopped it: it goes on when it is asked to. */
  paused: boolean
}

export type BroughtBack = { name: string; was: 'missing' | 'damaged' }

export type Run = { id: string; startedAt: string; endedAt: string | null; found: RunFound }

const nothingYet = (): RunFound => ({
  exam: null,
  walked: null,
  renamed: [],
  derivedMended: 0,
  broughtBack: [],
  paused: false,
})

export async function readRuns(db: Kysely<Tables>): Promise<{ last: Run | null; underWay: Run | null }> {
  const rows = await db.selectFrom('check_run').selectAll().orderBy('started_at').execute()
  const runs = rows.map((row) => ({
    id: row.id,
    startedAt: row.started_at,
    endedAt: row.ended_at,
    found: { ...nothingYet(), ...(JSON.parse(row.found) as RunFound) },
  }))
  return {
    last: runs.findLast(({ endedAt }) => endedAt !== null) ?? null,
    underWay: runs.findLast(({ endedAt }) => endedAt === null) ?? null,
  }
}

/** Begins a look through, or goes on with one that was stopped. */
export async function beginRun(db: Kysely<Tables>, now = new Date()): Promise<Run> {
  const { underWay } = await readRuns(db)
  if (underWay) {
    underWay.found.paused = false
    await noteFound(db, underWay)
    return underWay
  }
  const run: Run = { id: v7(), startedAt: now.toISOString(), endedAt: null, found: nothingYet() }
  await db
    .insertInto('check_run')
    .values({ id: run.id, started_at: run.startedAt, ended_at: null, found: JSON.stringify(run.found) })
    .execute()
  return run
}

export const noteFound = (db: Kysely<Tables>, { id, found }: Run): Promise<unknown> =>
  db
    .updateTable('check_run')
    .set({ found: JSON.stringify(found) })
    .where('id', '=', id)
    .execute()

/** Ends it; the one before is forgotten, and what is known of files that nothing names any more. */
export async function endRun(db: Kysely<Tables>, run: Run, kept: ReadonlySet<string>, now = new Date()): Promise<void> {
  await db.transaction().execute(async (tx) => {
    await tx.deleteFrom('check_run').where('id', '<>', run.id).execute()
    await tx
      .updateTable('check_run')
      .set({ ended_at: now.toISOString(), found: JSON.stringify(run.found) })
      .where('id', '=', run.id)
      .execute()
    const known = await tx.selectFrom('file_check').select('sha256').execute()
    const stale = known.flatMap(({ sha256 }) => (kept.has(sha256) ? [] : [sha256]))
    await sql`delete from file_check where sha256 in (select value from json_each(${JSON.stringify(stale)}))`.execute(
      tx,
    )
  })
}

export type FileFound = Tables['file_check']['found']

/** One write for several files: each alone would wait for the drive. */
export async function noteFiles(
  db: Kysely<Tables>,
  files: ReadonlyArray<{ sha256: string; found: FileFound }>,
  now = new Date(),
): Promise<void> {
  if (files.length === 0) return
  const rows = JSON.stringify(files.map(({ sha256, found }) => [sha256, found]))
  await sql`insert into file_check (sha256, checked_at, found)
    select value ->> 0, ${now.toISOString()}, value ->> 1 from json_each(${rows}) where true
    on conflict (sha256) do update set checked_at = excluded.checked_at, found = excluded.found`.execute(db)
}

/** Files looked through since then. */
export async function checkedSince(db: Kysely<Tables>, since: string): Promise<Set<string>> {
  const rows = await db.selectFrom('file_check').select('sha256').where('checked_at', '>=', since).execute()
  return new Set(rows.map(({ sha256 }) => sha256))
}

export type TroubledFile = {
  sha256: string
  found: Exclude<FileFound, 'whole'>
  checkedAt: string
  /** Null for a data sheet. */
  photoId: string | null
  name: string
  format: string | null
  byteCount: number | null
  discarded: boolean
  /** The panel that it is filed to. */
  panelCode: string | null
}

/** Kept files that were not whole when they were looked through last, and are still named. */
export async function troubledFiles(db: Kysely<Tables>): Promise<TroubledFile[]> {
  const { rows } = await sql<TroubledRow>`
    select file_check.sha256, found, checked_at, photo.id as photo_id, photo.name, photo.format, photo.byte_count,
      photo.deleted_at, (select panel.code from filing join panel on panel.id = filing.panel_id
        where filing.photo_id = photo.id order by filing.filed_at desc limit 1) as code
    from file_check join photo on photo.sha256 = file_check.sha256
    where found <> 'whole'
    order by photo.added_at, photo.id`.execute(db)
  const sheets = await sql<TroubledRow>`
    select file_check.sha256, found, checked_at, null as photo_id, min(coalesce(data_sheet_name, name)) as name,
      null as format, null as byte_count, null as deleted_at, null as code
    from file_check join material on material.data_sheet_sha256 = file_check.sha256
    where found <> 'whole'
    group by file_check.sha256`.execute(db)
  return [...rows, ...sheets.rows].map((row) => ({
    sha256: row.sha256,
    found: row.found,
    checkedAt: row.checked_at,
    photoId: row.photo_id,
    name: row.name,
    format: row.format,
    byteCount: row.byte_count,
    discarded: row.deleted_at !== null,
    panelCode: row.code,
  }))
}

type TroubledRow = {
  sha256: string
  found: TroubledFile['found']
  checked_at: string
  photo_id: string | null
  name: string
  format: string | null
  byte_count: number | null
  deleted_at: string | null
  code: string | null
}
