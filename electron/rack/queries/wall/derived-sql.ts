/** How what is derived is derived, as SQL: for the service, and for the worker that looks whether it is so. */

export const stageOrderText = `case reading.stage when 'cured' then 0 when 'cleared' then 0 when 'dry' then 1 else 2 end`
export const viewOrderText = `case reading.view when 'face' then 0 else 1 end`

/** What panels are put in order by, derived anew; `due` is a table whose `panel_id` says of which. */
export const rowsOfPanels = (due: string): string => `
    select id as panel_id, sort_key(code) as code_key, hue_order(l, a, b) as hue_order, l as lightness, ground, sort_key(ground) as ground_key, candy,
      sort_key(candy) as candy_key, sprayed_on, cleared
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
      from ${due}
      cross join panel on panel.id = ${due}.panel_id
      left join reading as deepest on deepest.id = (
        select reading.id from step join reading on reading.step_id = step.id
        where step.panel_id = panel.id and reading.deleted_at is null
          and reading.illuminant = 'D50' and reading.observer = '2'
        order by step.coats desc, step.position, ${stageOrderText}, ${viewOrderText}, reading.taken_at desc, reading.id desc
        limit 1)
      where panel.deleted_at is null)`

/** The search words of panels, derived anew; `due` is a table whose `panel_id` says of which. `doc` is their number. */
export const wordsOfPanels = (due: string): string => `
    select panel_doc.doc,
      panel.code || ' ' || ltrim(substr(panel.code, instr(panel.code, '-') + 1), '0') as code,
      panel.title as title,
      panel.notes || ' ' || panel.substrate || ' ' || panel.sprayed_by as notes,
      coalesce((select group_concat(name, ' ') from tag where tag.panel_id = panel.id), '') as tags,
      coalesce((select group_concat(material.name, ' ') from layer
        join mixture_part on mixture_part.root_id = layer.mixture_id
        join material on material.id = mixture_part.material_id
        where layer.panel_id = panel.id), '') as materials,
      coalesce((select group_concat(name, ' ') from layer where layer.panel_id = panel.id), '') as grounds
    from ${due}
    cross join panel_doc on panel_doc.panel_id = ${due}.panel_id
    cross join panel on panel.id = ${due}.panel_id
    where panel.deleted_at is null`
