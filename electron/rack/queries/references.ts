import type { Kysely } from 'kysely'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Reading, Reference } from '../../../shared-core/records/reading.ts'
import type { Changing } from '../history/change.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'
import { asReading } from './readings.ts'

export const referenceAbsent = () =>
  new Refusal(
    'reference/absent',
    'This reference is not in the rack (any more).',
    'Undo brings a removed reference back.',
  )

/** Newest first. */
export async function listReferences(db: Kysely<Tables>, only?: string): Promise<Reference[]> {
  let query = db.selectFrom('reference').selectAll().where('deleted_at', 'is', null)
  if (only !== undefined) query = query.where('id', '=', only)
  const rows = await query.orderBy('created_at', 'desc').orderBy('id', 'desc').execute()
  const readings = await db
    .selectFrom('reading')
    .selectAll()
    .where('reference_id', 'in', among(rows.map((row) => row.id)))
    .where('deleted_at', 'is', null)
    .orderBy('taken_at', 'desc')
    .orderBy('id', 'desc')
    .execute()
  const own = Map.groupBy(readings, (reading) => reading.reference_id)
  return rows.map((row) => ({
    id: row.id,
    name: row.name,
    notes: row.notes,
    createdAt: row.created_at,
    readings: (own.get(row.id) ?? []).map((reading): Reading => asReading(reading)),
  }))
}

/** @throws Refusal `reference/absent` */
export async function getReference(db: Kysely<Tables>, id: string): Promise<Reference> {
  const [reference] = await listReferences(db, id)
  if (!reference) throw referenceAbsent()
  return reference
}

export async function addReference(change: Changing, id: string, name: string): Promise<void> {
  await change.insert('reference', { id, name, notes: '', created_at: new Date().toISOString(), deleted_at: null })
}
