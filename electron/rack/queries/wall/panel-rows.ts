import { type Kysely, sql } from 'kysely'
import type { Tables } from '../../tables.ts'
import { stageOrder, viewOrder } from '../panel-list.ts'

/** Writes anew what the panels that the triggers noted are put in order by. `cross join` keeps to the order of the tables. */
export async function refreshRows(db: Kysely<Tables>): Promise<void> {
  const due = await db.selectFrom('panel_row_due').select('panel_id').limit(1).executeTakeFirst()
  if (!due) return
  await sql`delete from panel_row where panel_id in (select panel_id from panel_row_due)`.execute(db)
  await sql`insert into panel_row
      (panel_id, code_key, hue_order, lightness, ground, ground_key, candy, candy_key, sprayed_on, cleared)
    select id, sort_key(code), hue_order(l, a, b), l, ground, sort_key(ground), candy, sort_key(candy), sprayed_on, cleared
    from (
      select panel.id, panel.code, panel.sprayed_on, deepest.l, deepest.a, deepest.b,
        nullif((select name from layer where panel_id = panel.id and kind = 'ground' order by position limit 1), '')
          as ground,
        (select material.name from layer
          join mixture_part on mixture_part.root_id = layer.mixture_id
          join material on material.id = mixture_part.material_id
          where layer.panel_id = panel.id and layer.kind = 'candy' and material.kind = 'concentrate'
          order by layer.position, mixture_part.position limit 1) as candy,
        exists (select 1 from layer where panel_id = panel.id and kind = 'clear' and coats > 0) as cleared
      from panel_row_due
      cross join panel on panel.id = panel_row_due.panel_id
      left join reading as deepest on deepest.id = (
        select reading.id from step join reading on reading.step_id = step.id
        where step.panel_id = panel.id and reading.deleted_at is null
          and reading.illuminant = 'D50' and reading.observer = '2'
        order by step.coats desc, step.position, ${stageOrder}, ${viewOrder}, reading.taken_at desc, reading.id desc
        limit 1)
      where panel.deleted_at is null)`.execute(db)
  await sql`delete from panel_row_due`.execute(db)
}
