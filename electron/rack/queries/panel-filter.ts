import { type Kysely, sql } from 'kysely'
import type { PanelFilter } from '../../../shared-core/records/panel.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'
import { wordsQuery } from './words.ts'

/** The panels that a filter lets through. Within one list any of its words will do; every list must be met. */
export function filteredPanels(db: Kysely<Tables>, filter: PanelFilter) {
  let panels = db.selectFrom('panel').where('panel.deleted_at', 'is', null)
  const words = filter.words.trim()
  if (words !== '') {
    const query = wordsQuery(words)
    // only punctuation: no panel has such a word
    panels =
      query === null
        ? panels.where(sql<boolean>`0`)
        : panels.where(
            'panel.id',
            'in',
            sql<string>`(select panel_id from panel_words join panel_doc on doc = panel_words.rowid where panel_words match ${query})`,
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
  if (filter.cleared !== null) {
    const cleared = db
      .selectFrom('layer')
      .select('layer.panel_id')
      .where('layer.kind', '=', 'clear')
      .where('layer.coats', '>', 0)
    panels = panels.where('panel.id', filter.cleared ? 'in' : 'not in', cleared)
  }
  return panels
}

/** Concentrates in the candy layers, however deep in their mixtures. */
export const candyParts = (db: Kysely<Tables>) =>
  db
    .selectFrom('layer')
    .innerJoin('mixture_part', 'mixture_part.root_id', 'layer.mixture_id')
    .innerJoin('material', 'material.id', 'mixture_part.material_id')
    .where('layer.kind', '=', 'candy')
    .where('material.kind', '=', 'concentrate')

const names = (rows: Array<{ name: string }>) => rows.map((row) => row.name)

/** Everything that panels of this rack can be narrowed by. */
export async function listWords(db: Kysely<Tables>): Promise<{ grounds: string[]; candies: string[]; tags: string[] }> {
  const grounds = await db
    .selectFrom('layer')
    .innerJoin('panel', 'panel.id', 'layer.panel_id')
    .select('layer.name')
    .distinct()
    .where('layer.kind', '=', 'ground')
    .where('layer.name', '<>', '')
    .where('panel.deleted_at', 'is', null)
    .orderBy('layer.name')
    .execute()
  const candies = await candyParts(db)
    .innerJoin('panel', 'panel.id', 'layer.panel_id')
    .select('material.name')
    .distinct()
    .where('panel.deleted_at', 'is', null)
    .orderBy('material.name')
    .execute()
  const tags = await db
    .selectFrom('tag')
    .innerJoin('panel', 'panel.id', 'tag.panel_id')
    .select('tag.name')
    .distinct()
    .where('panel.deleted_at', 'is', null)
    .orderBy('tag.name')
    .execute()
  return { grounds: names(grounds), candies: names(candies), tags: names(tags) }
}
