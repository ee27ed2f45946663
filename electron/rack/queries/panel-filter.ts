import { type Kysely, type RawBuilder, sql } from 'kysely'
import type { PanelFilter } from '../../../shared-core/records/panel.ts'
import type { WordTaken } from '../../../shared-core/records/wall.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'
import { understandWords } from './words.ts'

/** Whether a filter says nothing. */
export const letsAllThrough = (filter: PanelFilter): boolean =>
  filter.words.trim() === '' &&
  filter.status === null &&
  filter.cleared === null &&
  filter.tags.length + filter.grounds.length + filter.candies.length === 0

/**
 * The panels that a filter lets through. Within one list any of its words will do; every list must be met. `corrected`
 * says which typed words no panel has, and what was taken instead.
 */
export async function filteredPanels(db: Kysely<Tables>, filter: PanelFilter) {
  let panels = db.selectFrom('panel').where('panel.deleted_at', 'is', null)
  let corrected: WordTaken[] = []
  const words = filter.words.trim()
  if (words !== '') {
    const understood = await understandWords(db, words)
    corrected = understood.corrected
    // only punctuation: no panel has such a word
    panels =
      understood.query === null
        ? panels.where(sql<boolean>`0`)
        : panels.where(
            'panel.id',
            'in',
            sql<string>`(select panel_id from panel_words join panel_doc on doc = panel_words.rowid
              where panel_words match ${understood.query})`,
          )
  }
  if (filter.status !== null) panels = panels.where('panel.status', '=', filter.status)
  if (filter.tags.length > 0)
    panels = panels.where(
      'panel.id',
      'in',
      db.selectFrom('tag').select('tag.panel_id').where('tag.name', 'in', among(filter.tags)),
    )
  if (filter.grounds.length > 0)
    panels = panels.where(
      'panel.id',
      'in',
      db
        .selectFrom('layer')
        .select('layer.panel_id')
        .where('layer.kind', '=', 'ground')
        .where('layer.name', 'in', among(filter.grounds)),
    )
  if (filter.candies.length > 0)
    panels = panels.where(
      'panel.id',
      'in',
      candyParts(db).select('layer.panel_id').where('material.name', 'in', among(filter.candies)),
    )
  if (filter.cleared !== null)
    panels = panels.where(
      'panel.id',
      'in',
      db
        .selectFrom('panel_row')
        .select('panel_row.panel_id')
        .where('panel_row.cleared', '=', filter.cleared ? 1 : 0),
    )
  return { panels, corrected }
}

/** Concentrates in the candy layers, however deep in their mixtures. */
export const candyParts = (db: Kysely<Tables>) =>
  db
    .selectFrom('layer')
    .innerJoin('mixture_part', 'mixture_part.root_id', 'layer.mixture_id')
    .innerJoin('material', 'material.id', 'mixture_part.material_id')
    .where('layer.kind', '=', 'candy')
    .where('material.kind', '=', 'concentrate')

/**
 * Everything that panels of this rack can be narrowed by. Each name is found from the one before it in an index, so that
 * the effort goes by how many names there are, not by how many panels.
 */
export async function listWords(db: Kysely<Tables>): Promise<{ grounds: string[]; candies: string[]; tags: string[] }> {
  const grounds = await names(
    db,
    sql`with recursive ground (name) as (
        select min(name) from layer where kind = 'ground' and name > ''
        union all
        select (select min(name) from layer where kind = 'ground' and name > ground.name) from ground
          where ground.name is not null
      )
      select name from ground where name is not null and exists (
        select 1 from layer join panel on panel.id = layer.panel_id
        where layer.kind = 'ground' and layer.name = ground.name and panel.deleted_at is null)`,
  )
  const candies = await names(
    db,
    sql`select distinct name from material where kind = 'concentrate' and exists (
        select 1 from mixture_part
          join layer on layer.mixture_id = mixture_part.root_id
          join panel on panel.id = layer.panel_id
        where mixture_part.material_id = material.id and layer.kind = 'candy' and panel.deleted_at is null)
      order by name`,
  )
  const tags = await names(
    db,
    sql`with recursive word (name) as (
        select min(name) from tag
        union all
        select (select min(name) from tag where name > word.name) from word where word.name is not null
      )
      select name from word where name is not null and exists (
        select 1 from tag join panel on panel.id = tag.panel_id
        where tag.name = word.name and panel.deleted_at is null)`,
  )
  return { grounds, candies, tags }
}

async function names(db: Kysely<Tables>, asked: RawBuilder<unknown>): Promise<string[]> {
  const { rows } = await asked.execute(db)
  return (rows as Array<{ name: string }>).map((row) => row.name)
}
