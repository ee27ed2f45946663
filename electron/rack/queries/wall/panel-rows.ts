import { type Kysely, sql } from 'kysely'
import type { Tables } from '../../tables.ts'
import { rowsOfPanels } from './derived-sql.ts'

/** Writes anew what the panels that the triggers noted are put in order by. `cross join` keeps to the order of the tables. */
export async function refreshRows(db: Kysely<Tables>): Promise<void> {
  const due = await db.selectFrom('panel_row_due').select('panel_id').limit(1).executeTakeFirst()
  if (!due) return
  await sql`delete from panel_row where panel_id in (select panel_id from panel_row_due)`.execute(db)
  await sql`insert into panel_row
      (panel_id, code_key, hue_order, lightness, ground, ground_key, candy, candy_key, sprayed_on, cleared)
    ${sql.raw(rowsOfPanels('panel_row_due'))}`.execute(db)
  await sql`delete from panel_row_due`.execute(db)
}
