import type { Changing } from '../../rack/history/change.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { discardPhoto, photoAbsent, readPhotoRecord } from '../../rack/queries/photos.ts'
import { dropReadings } from '../filing.ts'

export type Replacing = { photoId: string; earlierPhotoId: string; panelId: string }

/**
 * Keeps a photo's retake and discards the earlier one, with what was read of the panel from it: the retake is read in its place.
 * An earlier photo that shows another panel too stays for that one. References that were read from it keep their colour.
 * @throws Refusal `photo/absent`
 */
export async function replaceEarlier(rack: Rack, { photoId, earlierPhotoId, panelId }: Replacing): Promise<void> {
  if (photoId === earlierPhotoId) throw photoAbsent()
  const { name } = await readPhotoRecord(rack.db, earlierPhotoId)
  const retake = await readPhotoRecord(rack.db, photoId)
  await rack.change({ label: `let ${retake.name} take the place of ${name}` }, async (change) => {
    await readPhotoRecord(change.db, photoId)
    await readPhotoRecord(change.db, earlierPhotoId)
    await dropReadings(change, earlierPhotoId, panelId)
    if (await showsAnother(change, earlierPhotoId, panelId)) await unfile(change, earlierPhotoId, panelId)
    else await discardPhoto(change, earlierPhotoId)
  })
}

/** Whether it is filed to another panel, or another was read from it. */
async function showsAnother({ db }: Changing, photoId: string, panelId: string): Promise<boolean> {
  const filing = await db
    .selectFrom('filing')
    .select('id')
    .where('photo_id', '=', photoId)
    .where('panel_id', '<>', panelId)
    .executeTakeFirst()
  const reading = await db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .select('reading.id')
    .where('reading.photo_id', '=', photoId)
    .where('step.panel_id', '<>', panelId)
    .where('reading.deleted_at', 'is', null)
    .executeTakeFirst()
  return filing !== undefined || reading !== undefined
}

/** It stays filed to the others. */
async function unfile(change: Changing, photoId: string, panelId: string): Promise<void> {
  const filings = await change.db
    .selectFrom('filing')
    .select('id')
    .where('photo_id', '=', photoId)
    .where('panel_id', '=', panelId)
    .execute()
  for (const { id } of filings) await change.remove('filing', id)
}
