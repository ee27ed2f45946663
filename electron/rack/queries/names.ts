import type { Kysely } from 'kysely'
import type { Tables } from '../tables.ts'

/** Enough for a rack of ten thousand panels. */
const most = 50_000

/**
 * What somebody has called something or somebody in this rack: titles, customers, painters, files, materials. For what must
 * be free of them, such as a log.
 */
export async function listNames(db: Kysely<Tables>): Promise<string[]> {
  const panels = await db
    .selectFrom('panel')
    .select(['title', 'sprayed_by', 'notes', 'substrate'])
    .limit(most)
    .execute()
  const jobs = await db.selectFrom('customer_job').select(['title', 'customer', 'notes']).limit(most).execute()
  const photos = await db.selectFrom('photo').select(['name', 'camera']).limit(most).execute()
  const references = await db.selectFrom('reference').select(['name', 'notes']).limit(most).execute()
  const materials = await db.selectFrom('material').select(['name', 'maker_name', 'batch', 'notes']).execute()
  const mixtures = await db.selectFrom('mixture').select('name').distinct().execute()
  const layers = await db.selectFrom('layer').select(['name', 'notes']).distinct().execute()
  const tags = await db.selectFrom('tag').select('name').distinct().execute()
  const setups = await db.selectFrom('setup').select(['name', 'camera']).execute()
  const guns = await db.selectFrom('gun_setup').select(['name', 'gun']).distinct().execute()
  const cups = await db.selectFrom('cup').select(['title', 'mixed_by']).distinct().execute()
  const people = await db.selectFrom('stock_move').select('who').distinct().execute()
  const hints = await db.selectFrom('photo_hint').select(['panel_words', 'light_words']).limit(most).execute()
  const rack = await db.selectFrom('rack_info').select('name').execute()
  const rows = [
    panels,
    jobs,
    photos,
    references,
    materials,
    mixtures,
    layers,
    tags,
    setups,
    guns,
    cups,
    people,
    hints,
    rack,
  ]
  const names = new Set<string>()
  for (const row of rows.flat()) for (const value of Object.values(row)) if (typeof value === 'string') names.add(value)
  names.delete('')
  return [...names]
}
