import { type Kysely, sql } from 'kysely'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Tables } from '../tables.ts'
import { areAlike } from './layouts.ts'

/**
 * Photos that wait to be filed. One on which nothing but helps is marked, and which serves as another photo's blank sheet
 * or as a set-up's or photo sheet's chart, does not wait.
 */
export const inTray = (db: Kysely<Tables>) =>
  db
    .selectFrom('photo')
    // written out: the tray's index holds for this figure alone
    .where('photo.filed', '=', sql.lit(0))
    .where('photo.deleted_at', 'is', null)
    .where((e) => e.or([e.not(serves), isMarked]))

const serves = sql<boolean>`(
  exists (select 1 from photo as served where served.flat_photo_id = photo.id and served.deleted_at is null)
  or exists (select 1 from setup where setup.photo_id = photo.id and setup.deleted_at is null)
  or exists (select 1 from known_sheet where known_sheet.photo_id = photo.id and known_sheet.deleted_at is null))`
const isMarked = sql<boolean>`exists (select 1 from area where area.photo_id = photo.id and area.position is not null)`

export const flatAbsent = () =>
  new Refusal(
    'photo/absent',
    'The photo of the blank sheet is not in the rack (any more).',
    'Choose another blank sheet, or none. Undo brings a removed photo back.',
  )

/** @throws Refusal `photo/absent` for a blank sheet that is not there, `service/bad-input` for a photo of itself */
export async function mustBeFlat(db: Kysely<Tables>, flatPhotoId: string | null, photoId: string): Promise<void> {
  if (flatPhotoId === null) return
  if (flatPhotoId === photoId)
    throw new Refusal(
      'service/bad-input',
      'A photo cannot be its own blank sheet.',
      'Choose a photo of a blank sheet in the same light.',
    )
  const row = await db
    .selectFrom('photo')
    .select('id')
    .where('id', '=', flatPhotoId)
    .where('deleted_at', 'is', null)
    .executeTakeFirst()
  if (!row) throw flatAbsent()
}

// `union all`: to leave out equals, all photos would be read in the order of their ids
const mayBeFlat = sql<string>`(
  select flat_photo_id from photo where flat_photo_id is not null
  union all select id from photo where filed = 0 and deleted_at is null and not ${isMarked})`

/**
 * Photos that can be another's blank sheet: of the same camera and proportions, and either serving as one already or
 * waiting with no area marked. Nearest in time first.
 */
export async function listFlatIds(
  db: Kysely<Tables>,
  photo: { id: string; width: number; height: number; camera: string | null; takenAt: string },
): Promise<string[]> {
  const rows = await db
    .selectFrom('photo')
    .select(['id', 'width', 'height', 'taken_at', 'added_at'])
    .where('deleted_at', 'is', null)
    .where('id', '<>', photo.id)
    .where('camera', photo.camera === null ? 'is' : '=', photo.camera)
    .where('id', 'in', mayBeFlat)
    .execute()
  const away = (row: (typeof rows)[number]) =>
    Math.abs(Date.parse(row.taken_at ?? row.added_at) - Date.parse(photo.takenAt))
  return rows
    .filter((row) => areAlike(row, photo))
    .toSorted((a, b) => away(a) - away(b) || (a.id < b.id ? -1 : 1))
    .slice(0, 50)
    .map(({ id }) => id)
}
