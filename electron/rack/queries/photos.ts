import type { Kysely } from 'kysely'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Stage, View } from '../../../shared-core/records/colour.ts'
import type { Exposure } from '../../../shared-core/records/exposure.ts'
import type { Caution, Photo, PhotoFormat } from '../../../shared-core/records/photo.ts'
import type { Changing } from '../history/change.ts'
import type { PhotoRow, Tables } from '../tables.ts'
import { among } from './among.ts'
import { readLayouts } from './layouts.ts'
import { inTray } from './tray.ts'

export const photoAbsent = () =>
  new Refusal('photo/absent', 'This photo is not in the rack (any more).', 'Undo brings a removed photo back.')

/** Keeps what is known of an original that lies in the store already; it is then in the tray. */
export async function addPhoto(
  change: Changing,
  photo: Omit<Photo, 'filed' | 'layout' | 'setupId' | 'flatPhotoId'>,
): Promise<void> {
  await change.insert('photo', {
    id: photo.id,
    sha256: photo.sha256,
    name: photo.name,
    format: photo.format,
    width: photo.width,
    height: photo.height,
    byte_count: photo.byteCount,
    bits: photo.bits,
    profile: photo.profile,
    profile_assumed: photo.profileAssumed ? 1 : 0,
    taken_at: photo.exposure.takenAt,
    camera: photo.exposure.camera,
    exposure_s: photo.exposure.exposureS,
    f_number: photo.exposure.fNumber,
    iso: photo.exposure.iso,
    white_balance: photo.exposure.whiteBalance,
    focal_length_mm: photo.exposure.focalLengthMm,
    light_id: photo.lightId,
    view: photo.view,
    stage: photo.stage,
    setup_id: null,
    flat_photo_id: null,
    mm_per_pixel: null,
    sheet: null,
    filed: 0,
    laid_out_at: null,
    cautions: JSON.stringify(photo.cautions),
    added_at: photo.addedAt,
    deleted_at: null,
  })
}

/** A photo of this content, also one in the trash. */
export async function photoBySha(
  db: Kysely<Tables>,
  sha256: string,
): Promise<{ id: string; format: PhotoFormat; inTrash: boolean } | null> {
  const row = await db
    .selectFrom('photo')
    .select(['id', 'format', 'deleted_at'])
    .where('sha256', '=', sha256)
    .executeTakeFirst()
  return row ? { id: row.id, format: row.format as PhotoFormat, inTrash: row.deleted_at !== null } : null
}

/** @throws Refusal `photo/absent` also for a photo in the trash */
export async function readPhotoRecord(db: Kysely<Tables>, id: string): Promise<Photo> {
  const [photo] = await readPhotos(db, [id])
  if (!photo) throw photoAbsent()
  return photo
}

export async function readPhotos(db: Kysely<Tables>, ids: readonly string[]): Promise<Photo[]> {
  const rows = await db
    .selectFrom('photo')
    .selectAll()
    .where('id', 'in', among(ids))
    .where('deleted_at', 'is', null)
    .orderBy('added_at')
    .orderBy('id')
    .execute()
  return asPhotos(db, rows)
}

/** Photos that wait to be filed, oldest first. */
export async function listTray(db: Kysely<Tables>): Promise<Photo[]> {
  const rows = await inTray(db).selectAll('photo').orderBy('photo.added_at').orderBy('photo.id').execute()
  return asPhotos(db, rows)
}

/** As `listTray`, the ids alone: of thousands only a few are on the screen. */
export async function listWaiting(db: Kysely<Tables>): Promise<{ ids: string[]; sheetIds: string[] }> {
  const rows = await inTray(db)
    .select(['photo.id', 'photo.flat_photo_id'])
    .orderBy('photo.added_at')
    .orderBy('photo.id')
    .execute()
  return {
    ids: rows.map(({ id }) => id),
    sheetIds: [...new Set(rows.flatMap(({ flat_photo_id }) => flat_photo_id ?? []))],
  }
}

/** Photos filed to a panel, oldest first. */
export async function listPanelPhotos(db: Kysely<Tables>, panelId: string): Promise<Photo[]> {
  const filed = await db.selectFrom('filing').select('photo_id').where('panel_id', '=', panelId).execute()
  return readPhotos(
    db,
    filed.map((filing) => filing.photo_id),
  )
}

export async function discardPhoto(change: Changing, photoId: string): Promise<void> {
  await change.update('photo', photoId, { deleted_at: new Date().toISOString() })
}

async function asPhotos(db: Kysely<Tables>, rows: readonly PhotoRow[]): Promise<Photo[]> {
  const layouts = await readLayouts(
    db,
    rows.map((row) => row.id),
  )
  const lost = await lostOriginals(db, rows)
  return rows.map((row) => ({
    id: row.id,
    sha256: row.sha256,
    name: row.name,
    format: row.format as PhotoFormat,
    width: row.width,
    height: row.height,
    byteCount: row.byte_count,
    bits: row.bits === 16 ? 16 : 8,
    profile: row.profile,
    profileAssumed: row.profile_assumed === 1,
    exposure: {
      takenAt: row.taken_at,
      camera: row.camera,
      exposureS: row.exposure_s,
      fNumber: row.f_number,
      iso: row.iso,
      whiteBalance: row.white_balance as Exposure['whiteBalance'],
      focalLengthMm: row.focal_length_mm,
    },
    lightId: row.light_id,
    view: row.view as View,
    stage: row.stage as Stage,
    setupId: row.setup_id,
    flatPhotoId: row.flat_photo_id,
    filed: row.filed === 1,
    layout: layouts.get(row.id) ?? { areas: [], card: null },
    cautions: [...(lost.get(row.sha256) ?? []), ...(JSON.parse(row.cautions) as Caution[])],
    addedAt: row.added_at,
  }))
}

/** What the last look through found of these photos' originals, by hash: they are shown by their small pictures all the same. */
async function lostOriginals(db: Kysely<Tables>, rows: readonly PhotoRow[]): Promise<Map<string, Caution[]>> {
  const found = await db
    .selectFrom('file_check')
    .select(['sha256', 'found'])
    .where('sha256', 'in', among(rows.map((row) => row.sha256)))
    .where('found', '<>', 'whole')
    .execute()
  return new Map(
    found.map(({ sha256, found: how }) => [
      sha256,
      [
        {
          code: 'photo/original-missing',
          message:
            how === 'damaged' ? 'The original of this photo is damaged.' : 'The original of this photo is missing.',
          remedy:
            'What was read from it stays. “Check and repair” finds it again on a card or in a backup that still has it.',
          weight: 'warning' as const,
        },
      ],
    ]),
  )
}
