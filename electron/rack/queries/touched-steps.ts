import { type Kysely, sql } from 'kysely'
import type { Tables } from '../tables.ts'

/**
 * Which steps' readings have changed, for what is kept in memory about them. Triggers of this connection alone note them, so
 * that every way of changing is seen, undo included, and what is taken back is not noted. Nothing of it is in the rack's file.
 */
const statements = [
  'create temp table touched_step (step_id text primary key not null) without rowid',
  ...(['insert', 'update', 'delete'] as const).map((event) => {
    const row = event === 'delete' ? 'old' : 'new'
    return `create temp trigger touched_by_reading_${event} after ${event} on main.reading when ${row}.step_id is not null
      begin insert or ignore into touched_step values (${row}.step_id); end`
  }),
  `create temp trigger touched_by_panel after update of code, created_at, deleted_at on main.panel
    begin insert or ignore into touched_step select id from main.step where panel_id = new.id; end`,
]

/** Begins to note. Called once for each open rack. */
export async function noteTouchedSteps(db: Kysely<Tables>): Promise<void> {
  for (const statement of statements) await sql.raw(statement).execute(db)
}

/** The steps noted since the last time, which are then forgotten. */
export async function takeTouchedSteps(db: Kysely<Tables>): Promise<string[]> {
  const { rows } = await sql<{ step_id: string }>`select step_id from temp.touched_step`.execute(db)
  if (rows.length > 0) await sql`delete from temp.touched_step`.execute(db)
  return rows.map((row) => row.step_id)
}
