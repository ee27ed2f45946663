import type { Kysely } from 'kysely'
import type { IntakeItem } from '../../../shared-core/records/job.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { Tables } from '../tables.ts'

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
  /** Set once the photo is in the rack, though its renditions may not be made yet. */
  photoId: string | null
  item: IntakeItem | null
}

export async function addIntake(
  db: Kysely<Tables>,
  id: string,
  files: ReadonlyArray<{ path: string; name: string }>,
): Promise<void> {
  await db.transaction().execute(async (tx) => {
    await tx.insertInto('intake').values({ id, created_at: new Date().toISOString() }).execute()
    for (const [position, { path, name }] of files.entries())
      await tx
        .insertInto('intake_file')
        .values({
          intake_id: id,
          position,
          path,
          name,
          state: 'waiting',
          tries: 0,
          photo_id: null,
          fate: null,
          why: null,
        })
        .execute()
  })
}

export async function listIntakes(db: Kysely<Tables>): Promise<string[]> {
  const rows = await db.selectFrom('intake').select('id').orderBy('created_at').orderBy('id').execute()
  return rows.map((row) => row.id)
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
  }))
}

/** Notes that a file's inspection begins: a file that ends the service is then known. */
export async function beginFile(db: Kysely<Tables>, id: string, position: number): Promise<void> {
  await db
    .updateTable('intake_file')
    .set((e) => ({ state: 'working', tries: e('tries', '+', 1) }))
    .where('intake_id', '=', id)
    .where('position', '=', position)
    .execute()
}

/** Takes a beginning back: the service is asked to leave, which is not the file's fault. */
export async function putBack(db: Kysely<Tables>, id: string, position: number): Promise<void> {
  await db
    .updateTable('intake_file')
    .set((e) => ({ state: 'waiting', tries: e('tries', '-', 1) }))
    .where('intake_id', '=', id)
    .where('position', '=', position)
    .where('state', '=', 'working')
    .execute()
}

/** In the transaction that puts the photo into the rack. */
export async function notePhoto(db: Kysely<Tables>, id: string, position: number, photoId: string): Promise<void> {
  await db
    .updateTable('intake_file')
    .set({ photo_id: photoId })
    .where('intake_id', '=', id)
    .where('position', '=', position)
    .execute()
}

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

export async function endIntake(db: Kysely<Tables>, id: string): Promise<void> {
  await db.deleteFrom('intake').where('id', '=', id).execute()
}
