import { sql } from 'kysely'
import type { Rack } from '../../opening/open.ts'
import { refreshDerived } from '../../queries/wall/derived.ts'

/** Writes anew all that is derived: order and search words of every panel. */
export async function deriveAnew(rack: Rack): Promise<void> {
  await rack.db.transaction().execute(async (tx) => {
    // an index that does not agree with what it is of could not let go of it
    await sql`insert into panel_words (panel_words) values ('rebuild')`.execute(tx)
    await tx.deleteFrom('panel_row').where('panel_id', 'not in', tx.selectFrom('panel').select('id')).execute()
    await sql`insert or ignore into panel_row_due select id from panel`.execute(tx)
    await sql`insert or ignore into panel_words_due select id from panel`.execute(tx)
    await refreshDerived(tx)
  })
}

/** Makes every index anew from its table, and what is derived with them. */
export async function mendIndexes(rack: Rack): Promise<void> {
  await sql`reindex`.execute(rack.db)
  await deriveAnew(rack)
}
