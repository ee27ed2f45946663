import type { Kysely } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'

/** What whoever sent a photo said of it, in words as typed; empty where nothing was said. */
export const Hint = z.object({
  cameFrom: z.literal('phone'),
  panel: z.string().max(200),
  light: z.string().max(200),
})
export type Hint = z.infer<typeof Hint>

/** @returns null for what is no hint, as in records of a stranger */
export function readHint(json: string | null): Hint | null {
  if (json === null) return null
  const read = Hint.safeParse(JSON.parse(json))
  return read.success ? read.data : null
}

/** Keeps what was said of a photo that is in the rack; what was said of it before gives way. It is not in the history. */
export async function keepHint(db: Kysely<Tables>, photoId: string, { cameFrom, panel, light }: Hint): Promise<void> {
  const said = { came_from: cameFrom, panel_words: panel, light_words: light }
  await db
    .insertInto('photo_hint')
    .values({ photo_id: photoId, ...said })
    .onConflict((on) => on.column('photo_id').doUpdateSet(said))
    .execute()
}

/** By photo id. */
export async function readHints(db: Kysely<Tables>, photoIds: readonly string[]): Promise<Map<string, Hint>> {
  const rows = await db.selectFrom('photo_hint').selectAll().where('photo_id', 'in', among(photoIds)).execute()
  return new Map(
    rows.map((row) => [row.photo_id, { cameFrom: row.came_from, panel: row.panel_words, light: row.light_words }]),
  )
}
