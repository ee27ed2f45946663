import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Setup, SetupFit } from '../../../shared-core/records/setup.ts'
import type { Changing } from '../history/change.ts'
import type { SetupRow, Tables } from '../tables.ts'

/** Set-ups: camera, light and settings of photos, calibrated with a chart. One that was removed lies in the trash. */

export const setupAbsent = () =>
  new Refusal(
    'setup/absent',
    'This set-up is not in the rack (any more).',
    'Choose another set-up, or none and let the card alone count. Undo brings a removed set-up back.',
  )

const asSetup = (row: SetupRow): Setup => ({
  id: row.id,
  name: row.name,
  camera: row.camera,
  lightId: row.light_id,
  notes: row.notes,
  photoId: row.photo_id,
  fit: JSON.parse(row.fit) as SetupFit,
  calibratedAt: row.calibrated_at,
  createdAt: row.created_at,
})

/** Newest calibration first. */
export async function listSetups(db: Kysely<Tables>): Promise<Setup[]> {
  const rows = await db
    .selectFrom('setup')
    .selectAll()
    .where('deleted_at', 'is', null)
    .orderBy('calibrated_at', 'desc')
    .orderBy('id', 'desc')
    .execute()
  return rows.map(asSetup)
}

/** @throws Refusal `setup/absent` also for a set-up in the trash */
export async function readSetup(db: Kysely<Tables>, id: string): Promise<Setup> {
  const row = await db
    .selectFrom('setup')
    .selectAll()
    .where('id', '=', id)
    .where('deleted_at', 'is', null)
    .executeTakeFirst()
  if (!row) throw setupAbsent()
  return asSetup(row)
}

/** The set-up last calibrated for a photo's camera and, where the photo's light is known, that light. */
export async function proposedSetupId(
  db: Kysely<Tables>,
  photo: { exposure: { camera: string | null }; lightId: string | null },
): Promise<string | null> {
  const { camera } = photo.exposure
  if (camera === null) return null
  let query = db.selectFrom('setup').select('id').where('deleted_at', 'is', null).where('camera', '=', camera)
  if (photo.lightId !== null) query = query.where('light_id', '=', photo.lightId)
  const row = await query.orderBy('calibrated_at', 'desc').orderBy('id', 'desc').limit(1).executeTakeFirst()
  return row?.id ?? null
}

/** What a calibration says; the rest of a set-up is the painter's. */
export type Calibration = {
  name: string
  camera: string | null
  lightId: string | null
  photoId: string
  fit: SetupFit
}

/** Keeps a calibration, as a new set-up or in place of what one said before. @returns the set-up's id */
export async function keepCalibration(change: Changing, setupId: string | null, said: Calibration): Promise<string> {
  const now = new Date().toISOString()
  const row = {
    name: said.name,
    camera: said.camera,
    light_id: said.lightId,
    photo_id: said.photoId,
    fit: JSON.stringify(said.fit),
    calibrated_at: now,
  }
  const id = setupId ?? v7()
  if (setupId) await change.update('setup', id, row)
  else await change.insert('setup', { id, ...row, notes: '', created_at: now, deleted_at: null })
  return id
}

export async function changeSetup(
  change: Changing,
  id: string,
  to: { name?: string | undefined; notes?: string | undefined; lightId?: string | null | undefined },
): Promise<void> {
  const patch: Partial<SetupRow> = {}
  if (to.name !== undefined) patch.name = to.name
  if (to.notes !== undefined) patch.notes = to.notes
  if (to.lightId !== undefined) patch.light_id = to.lightId
  await change.update('setup', id, patch)
}

export async function removeSetup(change: Changing, id: string): Promise<void> {
  await change.update('setup', id, { deleted_at: new Date().toISOString() })
}
