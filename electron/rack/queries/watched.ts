import { type Kysely, sql, type Transaction } from 'kysely'
import type { IntakeItem } from '../../../shared-core/records/job.ts'
import type { Tables } from '../tables.ts'

/**
 * Folders whose new photos are taken in, and what became of their files. Like intakes, these rows are no part of the history: what is
 * undone was taken in all the same, and does not come again.
 */
export type WatchedRow = {
  id: string
  path: string
  since: string
  isOn: boolean
  lookedAt: string | null
  /** Photos that came into the tray from it, and files that were refused. */
  taken: number
  refused: number
}

/** A file as a look found it: its path below the folder, with slashes. */
export type SeenFile = { path: string; byteCount: number; modifiedMs: number }

/** What is known of a file of a folder. */
export type KnownFile = SeenFile & {
  state: Tables['watched_file']['state']
  sha256: string | null
  /** What a refused one was refused for. */
  why: string | null
  /** How often it was given to an intake, or looked at again after it was refused. */
  tries: number
  seenAt: string
}

/** Rows for one statement; more would keep calls waiting. */
const atOnce = 500

/** @param computer  on which the folders are: a rack may be carried from one to another */
export async function listWatched(db: Kysely<Tables>, computer: string): Promise<WatchedRow[]> {
  const rows = await db
    .selectFrom('watched_folder')
    .selectAll()
    .where('computer', '=', computer)
    .orderBy('since')
    .orderBy('id')
    .execute()
  const list: WatchedRow[] = []
  for (const { id, path, since, is_on, looked_at } of rows)
    list.push({ id, path, since, isOn: is_on === 1, lookedAt: looked_at, ...(await countWatched(db, id)) })
  return list
}

async function countWatched(db: Kysely<Tables>, folderId: string): Promise<{ taken: number; refused: number }> {
  return db
    .selectFrom('watched_file')
    .where('folder_id', '=', folderId)
    .select((e) => [
      // what was in the rack already came from elsewhere
      e.fn.countAll<number>().filterWhere('state', '=', 'taken').filterWhere('intake_id', 'is not', null).as('taken'),
      e.fn.countAll<number>().filterWhere('state', '=', 'refused').as('refused'),
    ])
    .executeTakeFirstOrThrow()
}

/** @param there  what lies in it now and stays where it is: only what comes later is taken in */
export async function addWatched(
  db: Kysely<Tables>,
  folder: { id: string; path: string; computer: string },
  there: readonly SeenFile[],
): Promise<void> {
  const now = new Date().toISOString()
  await db.transaction().execute(async (tx) => {
    await tx
      .insertInto('watched_folder')
      .values({ ...folder, since: now, is_on: 1, looked_at: null })
      .execute()
    for (let from = 0; from < there.length; from += atOnce)
      await sql`insert into watched_file (folder_id, path, byte_count, modified_ms, state, seen_at)
        select ${folder.id}, value ->> 'path', value ->> 'byteCount', value ->> 'modifiedMs', 'there-before', ${now}
        from json_each(${JSON.stringify(there.slice(from, from + atOnce))}) where true
        on conflict do nothing`.execute(tx)
  })
}

export async function turnWatched(db: Kysely<Tables>, id: string, on: boolean): Promise<void> {
  await db
    .updateTable('watched_folder')
    .set({ is_on: on ? 1 : 0 })
    .where('id', '=', id)
    .execute()
}

export async function noteLook(db: Kysely<Tables>, id: string, lookedAt: string): Promise<void> {
  await db.updateTable('watched_folder').set({ looked_at: lookedAt }).where('id', '=', id).execute()
}

export async function removeWatched(db: Kysely<Tables>, id: string): Promise<void> {
  await db.deleteFrom('watched_folder').where('id', '=', id).execute()
}

/** All that is known of a folder's files, some at a time. */
export async function* knownFiles(db: Kysely<Tables>, folderId: string): AsyncGenerator<KnownFile> {
  let after = { path: '', bytes: -1, ms: -1 }
  for (;;) {
    const rows = await db
      .selectFrom('watched_file')
      .selectAll()
      .where('folder_id', '=', folderId)
      .where((e) =>
        e(
          e.refTuple('path', 'byte_count', 'modified_ms'),
          '>',
          sql`(${after.path}, ${after.bytes}, ${after.ms})` as never,
        ),
      )
      .orderBy('path')
      .orderBy('byte_count')
      .orderBy('modified_ms')
      .limit(atOnce)
      .execute()
    for (const row of rows) yield knownOf(row)
    const last = rows.at(-1)
    if (!last || rows.length < atOnce) return
    after = { path: last.path, bytes: last.byte_count, ms: last.modified_ms }
  }
}

/** Intakes that have not said of all of a folder's files what became of them. */
export async function pendingIntakes(db: Kysely<Tables>, folderId: string): Promise<string[]> {
  const rows = await db
    .selectFrom('watched_file')
    .select('intake_id')
    .distinct()
    .where('folder_id', '=', folderId)
    .where('state', '=', 'given')
    .execute()
  return rows.flatMap(({ intake_id }) => (intake_id === null ? [] : [intake_id]))
}

/** What has become of the files that a folder gave to an intake. */
export async function filesOfIntake(db: Kysely<Tables>, intakeId: string): Promise<KnownFile[]> {
  const rows = await db.selectFrom('watched_file').selectAll().where('intake_id', '=', intakeId).execute()
  return rows.map(knownOf)
}

const knownOf = (row: Tables['watched_file']): KnownFile => ({
  path: row.path,
  byteCount: row.byte_count,
  modifiedMs: row.modified_ms,
  state: row.state,
  sha256: row.sha256,
  why: row.why,
  tries: row.tries,
  seenAt: row.seen_at,
})

/**
 * Whether these bytes are known: a photo of the rack, in the tray, on a panel or in the trash, or one that came from a watched folder
 * before, also when that was undone. What an intake has not come to yet may still be refused, or gone.
 */
export async function isKnownContent(db: Kysely<Tables>, sha256: string): Promise<boolean> {
  const photo = await db.selectFrom('photo').select('id').where('sha256', '=', sha256).executeTakeFirst()
  if (photo) return true
  const file = await db
    .selectFrom('watched_file')
    .select('path')
    .where('sha256', '=', sha256)
    .where('state', 'not in', ['refused', 'given'])
    .executeTakeFirst()
  return file !== undefined
}

/** Notes what was settled without an intake. */
export async function noteFile(
  db: Kysely<Tables>,
  folderId: string,
  { path, byteCount, modifiedMs, state, sha256, why, tries, seenAt }: KnownFile,
): Promise<void> {
  const facts = { state, sha256, why, tries, seen_at: seenAt }
  await db
    .insertInto('watched_file')
    .values({ folder_id: folderId, path, byte_count: byteCount, modified_ms: modifiedMs, ...facts })
    .onConflict((on) => on.columns(['folder_id', 'path', 'byte_count', 'modified_ms']).doUpdateSet(facts))
    .execute()
  await forgetRefused(db, folderId, [{ path, byteCount, modifiedMs }])
}

/** What these files were refused for when they were others, or not whole yet, is no news any more. */
async function forgetRefused(db: Kysely<Tables>, folderId: string, files: readonly SeenFile[]): Promise<void> {
  const list = JSON.stringify(files)
  await sql`delete from watched_file where folder_id = ${folderId} and state = 'refused'
    and path in (select value ->> 'path' from json_each(${list}))
    and (path, byte_count, modified_ms) not in
      (select value ->> 'path', value ->> 'byteCount', value ->> 'modifiedMs' from json_each(${list}))`.execute(db)
}

/** Files that an intake has from here on, in its order. In the transaction that makes the intake. */
export async function giveFiles(
  tx: Transaction<Tables>,
  folderId: string,
  intakeId: string,
  files: readonly (SeenFile & { sha256: string })[],
): Promise<void> {
  const rows = files.map((file, position) => ({ ...file, position }))
  await sql`insert into watched_file
      (folder_id, path, byte_count, modified_ms, state, sha256, tries, intake_id, position, seen_at)
    select ${folderId}, value ->> 'path', value ->> 'byteCount', value ->> 'modifiedMs', 'given', value ->> 'sha256', 1,
      ${intakeId}, value ->> 'position', ${new Date().toISOString()}
    from json_each(${JSON.stringify(rows)}) where true
    on conflict do update set state = 'given', sha256 = excluded.sha256, tries = tries + 1, why = null,
      intake_id = excluded.intake_id, position = excluded.position, seen_at = excluded.seen_at`.execute(tx)
  await forgetRefused(tx, folderId, files)
}

/** What became of a file that a folder gave; nothing for what came otherwise. In the transaction that says so to the intake. */
export async function endWatched(
  tx: Transaction<Tables>,
  intakeId: string,
  position: number,
  { fate, why }: IntakeItem,
  sha256: string | null,
): Promise<void> {
  const state = fate === 'taken' || fate === 'duplicate' ? 'taken' : fate === 'refused' ? 'refused' : 'left'
  await tx
    .updateTable('watched_file')
    .set({
      state,
      why: why?.code ?? null,
      // it may have changed since it was looked at
      ...(sha256 === null ? {} : { sha256 }),
      ...(fate === 'duplicate' ? { intake_id: null } : {}),
    })
    .where('intake_id', '=', intakeId)
    .where('position', '=', position)
    .execute()
}

/** The painter stopped an intake: what it still had is not given to another. */
export async function leaveWatched(tx: Transaction<Tables>, intakeId: string): Promise<void> {
  await tx
    .updateTable('watched_file')
    .set({ state: 'left' })
    .where('intake_id', '=', intakeId)
    .where('state', '=', 'given')
    .execute()
}

/** Takes back what a folder gave and no intake has come to yet. @returns the intakes that had some */
export async function takeBack(db: Kysely<Tables>, folderId: string): Promise<string[]> {
  const rows = await db
    .deleteFrom('watched_file')
    .where('folder_id', '=', folderId)
    .where('state', '=', 'given')
    .returning('intake_id')
    .execute()
  return [...new Set(rows.flatMap(({ intake_id }) => (intake_id === null ? [] : [intake_id])))]
}

/** Files whose intake is no more and has not said what became of them: they are looked at anew. */
export async function forgetLost(db: Kysely<Tables>): Promise<void> {
  // said in full: the index is of these alone
  await sql`delete from watched_file where state = 'given' and intake_id not in (select id from intake)`.execute(db)
}
