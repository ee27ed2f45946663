import { type Kysely, sql, type Transaction } from 'kysely'
import type { IntakeItem } from '../../../shared-core/records/job.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { Tables } from '../tables.ts'
import { type Hint, readHint } from './hints.ts'
import { leaveWatched } from './watched.ts'

/**
 * What an intake still has to do and what became of each file, so that it goes on after the service ended. These rows
 * are work in hand, not the painter's data: they are not in the history.
 */
export type IntakeFile = {
  position: number
  path: string
  name: string
  /** How often its inspection was begun. */
  tries: number
  wasWorkedOn: boolean
  /** Its photo, where an earlier version took it in and did not come to its end. */
  photoId: string | null
  item: IntakeItem | null
  hint: Hint | null
}
export type GivenFile = { path: string; name: string; hint?: Hint | null | undefined }

/** Rows for one statement; more would keep calls waiting. */
const atOnce = 200

/** Writes what has to be there exactly when an intake is. */
export type Alongside = (tx: Transaction<Tables>, intakeId: string) => Promise<void>

export async function addIntake(
  db: Kysely<Tables>,
  id: string,
  files: readonly GivenFile[],
  alongside?: Alongside,
): Promise<void> {
  await db.transaction().execute(async (tx) => {
    await tx.insertInto('intake').values({ id, created_at: new Date().toISOString() }).execute()
    for (let from = 0; from < files.length; from += atOnce) {
      const rows = files
        .slice(from, from + atOnce)
        .map(({ path, name, hint }, i) => [id, from + i, path, name, hint ? JSON.stringify(hint) : null])
      await sql`insert into intake_file (intake_id, position, path, name, state, tries, hint)
        select value ->> 0, value ->> 1, value ->> 2, value ->> 3, 'waiting', 0, value ->> 4
        from json_each(${JSON.stringify(rows)})`.execute(tx)
    }
    await alongside?.(tx, id)
  })
}

export async function listIntakes(db: Kysely<Tables>): Promise<string[]> {
  const rows = await db.selectFrom('intake').select('id').orderBy('created_at').orderBy('id').execute()
  return rows.map((row) => row.id)
}

/** When the files of an intake were handed over. */
export async function beginningOf(db: Kysely<Tables>, id: string): Promise<Date> {
  const { created_at } = await db
    .selectFrom('intake')
    .select('created_at')
    .where('id', '=', id)
    .executeTakeFirstOrThrow()
  return new Date(created_at)
}

export async function readIntake(db: Kysely<Tables>, id: string): Promise<IntakeFile[]> {
  const rows = await db.selectFrom('intake_file').selectAll().where('intake_id', '=', id).orderBy('position').execute()
  return rows.map((row) => ({
    position: row.position,
    path: row.path,
    name: row.name,
    tries: row.tries,
    wasWorkedOn: row.state === 'working',
    photoId: row.photo_id,
    item:
      row.fate === null
        ? null
        : {
            name: row.name,
            photoId: row.photo_id,
            fate: row.fate as IntakeItem['fate'],
            why: row.why === null ? null : (JSON.parse(row.why) as Caution),
          },
    hint: readHint(row.hint),
  }))
}

/** Notes that a file's inspection begins: a file that ends the service is then known. */
export const beginFile = (db: Kysely<Tables>, id: string, position: number): Promise<void> =>
  withoutWaiting(db, async (held) => {
    await held
      .updateTable('intake_file')
      .set((e) => ({ state: 'working', tries: e('tries', '+', 1) }))
      .where('intake_id', '=', id)
      .where('position', '=', position)
      .execute()
  })

/** Takes a beginning back: whatever ends the service from now on, it is not this file. */
export const putBack = (db: Kysely<Tables>, id: string, position: number): Promise<void> =>
  withoutWaiting(db, async (held) => {
    await held
      .updateTable('intake_file')
      .set((e) => ({ state: 'waiting', tries: e('tries', '-', 1) }))
      .where('intake_id', '=', id)
      .where('position', '=', position)
      .where('state', '=', 'working')
      .execute()
  })

/**
 * Commits without waiting for the drive: what is written outlives the service, which is what matters here, though not a
 * power cut, for which no file is to blame.
 * Source: sqlite.org, "PRAGMA synchronous" (NORMAL in WAL mode).
 */
const withoutWaiting = (db: Kysely<Tables>, work: (held: Kysely<Tables>) => Promise<void>): Promise<void> =>
  db.connection().execute(async (held) => {
    await sql`pragma synchronous = normal`.execute(held)
    try {
      await work(held)
    } finally {
      await sql`pragma synchronous = full`.execute(held)
    }
  })

export async function endFile(db: Kysely<Tables>, id: string, position: number, item: IntakeItem): Promise<void> {
  await db
    .updateTable('intake_file')
    .set((e) => ({
      state: 'done',
      // the photo may have been undone by now
      photo_id: e.selectFrom('photo').select('photo.id').where('photo.id', '=', item.photoId),
      fate: item.fate,
      why: item.why && JSON.stringify(item.why),
    }))
    .where('intake_id', '=', id)
    .where('position', '=', position)
    .execute()
}

/** Ends at once whatever has met no fate yet. */
export async function cancelFiles(db: Kysely<Tables>, id: string): Promise<void> {
  await db.transaction().execute(async (tx) => {
    await leaveWatched(tx, id)
    await cancelIn(tx, id)
  })
}

async function cancelIn(tx: Transaction<Tables>, id: string): Promise<void> {
  await tx
    .updateTable('intake_file')
    .set({ state: 'done', photo_id: null, fate: 'cancelled' })
    .where('intake_id', '=', id)
    .where('fate', 'is', null)
    .execute()
}

export async function countFiles(db: Kysely<Tables>, id: string): Promise<{ taken: number; all: number }> {
  const { taken, all } = await db
    .selectFrom('intake_file')
    .select((e) => [
      e.fn.countAll<number>().as('all'),
      e.fn.countAll<number>().filterWhere('fate', '=', 'taken').as('taken'),
    ])
    .where('intake_id', '=', id)
    .executeTakeFirstOrThrow()
  return { taken, all }
}

export async function endIntake(db: Kysely<Tables>, id: string): Promise<void> {
  await db.deleteFrom('intake').where('id', '=', id).execute()
}
