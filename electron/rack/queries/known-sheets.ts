import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { KnownSheet, SheetFit } from '../../../shared-core/records/photo-sheet.ts'
import type { Changing } from '../history/change.ts'
import type { KnownSheetRow, Tables } from '../tables.ts'

/** Printed photo sheets, by series and light, whose colours a photo with a chart has taught. One forgotten lies in the trash. */

const asKnown = (row: KnownSheetRow): KnownSheet => ({
  id: row.id,
  series: row.series,
  lightId: row.light_id,
  photoId: row.photo_id,
  fit: JSON.parse(row.fit) as SheetFit,
  learnedAt: row.learned_at,
})

/** Newest first. */
export async function listKnownSheets(db: Kysely<Tables>): Promise<KnownSheet[]> {
  const rows = await db
    .selectFrom('known_sheet')
    .selectAll()
    .where('deleted_at', 'is', null)
    .orderBy('learned_at', 'desc')
    .orderBy('id', 'desc')
    .execute()
  return rows.map(asKnown)
}

/** @throws Refusal `sheet/absent` also for one that was forgotten */
export async function readKnownSheet(db: Kysely<Tables>, id: string): Promise<KnownSheet> {
  const row = await db
    .selectFrom('known_sheet')
    .selectAll()
    .where('id', '=', id)
    .where('deleted_at', 'is', null)
    .executeTakeFirst()
  if (row) return asKnown(row)
  throw new Refusal(
    'sheet/absent',
    'This photo sheet is not known (any more).',
    'Photograph the sheet with the 24-patch chart in its place. Undo brings a forgotten one back.',
  )
}

/** What is known of a series: in this light, or else in the light that it was last learnt in. Null: nothing. */
export async function knownSheetFor(
  db: Kysely<Tables>,
  series: number,
  lightId: string | null,
): Promise<KnownSheet | null> {
  const rows = await db
    .selectFrom('known_sheet')
    .selectAll()
    .where('series', '=', series)
    .where('deleted_at', 'is', null)
    .orderBy('learned_at', 'desc')
    .orderBy('id', 'desc')
    .execute()
  const row = rows.find((one) => one.light_id === lightId) ?? rows[0]
  return row ? asKnown(row) : null
}

/** Keeps what was learnt; another of that series and light gives way. @returns its id */
export async function keepKnownSheet(
  change: Changing,
  said: Pick<KnownSheet, 'series' | 'lightId' | 'fit'> & { photoId: string },
): Promise<string> {
  const { series, lightId, photoId, fit } = said
  const row = { light_id: lightId, photo_id: photoId, fit: JSON.stringify(fit), learned_at: new Date().toISOString() }
  const earlier = await knownSheetFor(change.db, series, lightId)
  if (earlier && earlier.lightId === lightId) {
    await change.update('known_sheet', earlier.id, row)
    return earlier.id
  }
  const id = v7()
  await change.insert('known_sheet', { id, series, ...row, deleted_at: null })
  return id
}

export async function forgetKnownSheet(change: Changing, id: string): Promise<void> {
  await change.update('known_sheet', id, { deleted_at: new Date().toISOString() })
}
