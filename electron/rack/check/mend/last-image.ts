import type { Kysely } from 'kysely'
import type { Row } from '../../history/rows.ts'
import type { Tables, TrackedTable } from '../../tables.ts'

/** A row before and after the last change that holds and concerns it, as JSON; undefined where the history does not know it. */
export function lastImages(db: Kysely<Tables>, table: TrackedTable, id: string) {
  return db
    .selectFrom('change_row')
    .innerJoin('change', 'change.id', 'change_row.change_id')
    .select(['before', 'after'])
    .where('change.state', '=', 'done')
    .where('table_name', '=', table)
    .where('row_id', '=', id)
    .orderBy('change.seq', 'desc')
    .orderBy('change_row.seq', 'desc')
    .limit(1)
    .executeTakeFirst()
}

/**
 * How the last change that holds left a row: null where it removed it.
 * @returns undefined where the history does not know it, or cannot be read
 */
export async function lastImage(db: Kysely<Tables>, table: TrackedTable, id: string): Promise<Row | null | undefined> {
  const image = await lastImages(db, table, id)
  if (!image) return undefined
  if (image.after === null) return null
  try {
    return JSON.parse(image.after) as Row
  } catch {
    return undefined
  }
}
