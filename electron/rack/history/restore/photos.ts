import type { Kysely } from 'kysely'
import { among } from '../../queries/among.ts'
import type { FilingRow, PhotoRow, Tables } from '../../tables.ts'
import type { Planning } from './plan.ts'

/** Photos by the ids that they had then; null where a photo does not come back. */
export type Photos = ReadonlyMap<string, string | null>

/** Which of the photos that were filed with the panel, or read for it, come back, and which go. */
export async function planPhotos(planning: Planning): Promise<Photos> {
  const { past, now, keepLater, alterations } = planning
  const photos = new Map<string, string | null>()
  const filedThen = past.own.all('filing')
  for (const photo of past.shared.all('photo')) photos.set(photo.id, await comesBackAs(planning, photo, filedThen))
  for (const filing of filedThen) {
    const photoId = photos.get(filing.photo_id) ?? null
    if (photoId !== null) alterations.push({ table: 'filing', id: filing.id, to: { ...filing, photo_id: photoId } })
  }
  if (keepLater) return photos
  for (const filing of now.own.all('filing'))
    if (!past.own.get('filing', filing.id)) await unfile(planning, filing, photos)
  return photos
}

/** @returns the photo's id now; null: it does not come back */
async function comesBackAs(
  { db, past, now, notes, alterations }: Planning,
  photo: PhotoRow,
  filedThen: readonly FilingRow[],
): Promise<string | null> {
  const wasFiled = filedThen.some(({ photo_id }) => photo_id === photo.id)
  const isFiled = now.own.all('filing').some(({ photo_id }) => photo_id === photo.id)
  const present = await photoNow(db, photo)
  if (!present) {
    alterations.push({
      table: 'photo',
      id: photo.id,
      to: { ...(await withoutAbsent(db, photo)), filed: wasFiled ? 1 : 0 },
    })
    notes.push(`${photo.name} had been taken out of the rack: it comes back, and what was marked on it does not.`)
    return photo.id
  }
  if (wasFiled && !isFiled) {
    const other = await filedElsewhere(db, present.id, past.panelId)
    if (other !== null) {
      notes.push(`${photo.name} is filed with ${other} now and stays there: neither it nor its readings come back.`)
      return null
    }
    if (present.filed === 0) alterations.push({ table: 'photo', id: present.id, to: { id: present.id, filed: 1 } })
  }
  if (wasFiled && present.deleted_at !== null && photo.deleted_at === null) {
    alterations.push({ table: 'photo', id: present.id, to: { id: present.id, filed: 1, deleted_at: null } })
    notes.push(`${photo.name} comes back from the trash.`)
  }
  if (wasFiled && present.deleted_at === null && photo.deleted_at !== null)
    notes.push(`${photo.name} was in the trash then: it stays where it is now.`)
  return present.id
}

/** The same photo, or the same file where it was taken in anew. */
async function photoNow(db: Kysely<Tables>, { id, sha256 }: PhotoRow) {
  const columns = ['id', 'filed', 'deleted_at'] as const
  const byId = await db.selectFrom('photo').select(columns).where('id', '=', id).executeTakeFirst()
  return byId ?? db.selectFrom('photo').select(columns).where('sha256', '=', sha256).executeTakeFirst()
}

async function filedElsewhere(db: Kysely<Tables>, photoId: string, panelId: string): Promise<string | null> {
  const filings = await db
    .selectFrom('filing')
    .leftJoin('panel', 'panel.id', 'filing.panel_id')
    .leftJoin('reference', 'reference.id', 'filing.reference_id')
    .select(['filing.panel_id', 'panel.code', 'reference.name'])
    .where('filing.photo_id', '=', photoId)
    .execute()
  if (filings.some(({ panel_id }) => panel_id === panelId)) return null
  const [other] = filings
  return other ? (other.code ?? `the reference ${other.name}`) : null
}

/** A photo's row without what it names and is not in the rack any more. */
async function withoutAbsent(db: Kysely<Tables>, photo: PhotoRow): Promise<PhotoRow> {
  const there = async (table: 'light' | 'setup' | 'photo', id: string | null) =>
    id !== null && (await db.selectFrom(table).select('id').where('id', '=', id).executeTakeFirst()) ? id : null
  return {
    ...photo,
    light_id: await there('light', photo.light_id),
    setup_id: await there('setup', photo.setup_id),
    flat_photo_id: await there('photo', photo.flat_photo_id),
    laid_out_at: null,
    deleted_at: null,
  }
}

/** A photo that was filed later goes back to the tray, unless it serves something else, too. */
async function unfile({ db, notes, alterations }: Planning, filing: FilingRow, photos: Photos): Promise<void> {
  alterations.push({ table: 'filing', id: filing.id, to: null })
  const stays = [...photos.values()].includes(filing.photo_id)
  const others = await db
    .selectFrom('filing')
    .select('id')
    .where('photo_id', 'in', among([filing.photo_id]))
    .where('id', '<>', filing.id)
    .execute()
  if (stays || others.length > 0) return
  const photo = await db
    .selectFrom('photo')
    .select(['name', 'deleted_at'])
    .where('id', '=', filing.photo_id)
    .executeTakeFirst()
  alterations.push({ table: 'photo', id: filing.photo_id, to: { id: filing.photo_id, filed: 0 } })
  if (photo && photo.deleted_at === null) notes.push(`${photo.name} was filed later: it goes back to the tray.`)
}
