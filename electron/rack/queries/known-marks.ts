import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import type { Chart, Layout, Quad, Tile } from '../../../shared-core/records/area.ts'
import type { SheetOnPhoto } from '../../../shared-core/records/photo-sheet.ts'
import type { Changing } from '../history/change.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'

/** What is known of a photo besides its areas: card, tiles, chart, scale and photo sheet. What was not marked is left out. */
type Known = Partial<Omit<Layout, 'areas'>>

export async function readKnown(db: Kysely<Tables>, photoIds: readonly string[]): Promise<Map<string, Known>> {
  const ids = among(photoIds)
  const cards = await db.selectFrom('card').selectAll().where('photo_id', 'in', ids).execute()
  const charts = await db.selectFrom('chart').selectAll().where('photo_id', 'in', ids).execute()
  const tiles = await db.selectFrom('tile').selectAll().where('photo_id', 'in', ids).orderBy('position').execute()
  const photos = await db
    .selectFrom('photo')
    .select(['id', 'mm_per_pixel', 'sheet'])
    .where('id', 'in', ids)
    .where((is) => is.or([is('mm_per_pixel', 'is not', null), is('sheet', 'is not', null)]))
    .execute()
  const known = new Map<string, Known>(photoIds.map((id) => [id, {}]))
  const of = (photoId: string): Known => known.get(photoId) ?? {}
  for (const row of cards) of(row.photo_id).card = neutralOf(row)
  for (const row of charts) of(row.photo_id).chart = { quad: quadOf(row), table: row.chart_table as Chart['table'] }
  for (const [photoId, rows] of Map.groupBy(tiles, (row) => row.photo_id))
    of(photoId).tiles = rows.map((row) => ({ kind: row.kind as Tile['kind'], ...neutralOf(row) }))
  for (const row of photos) {
    if (row.mm_per_pixel !== null) of(row.id).mmPerPixel = row.mm_per_pixel
    if (row.sheet !== null) of(row.id).sheet = JSON.parse(row.sheet) as SheetOnPhoto
  }
  return known
}

const quadOf = (row: { quad: string }): Quad => JSON.parse(row.quad) as Quad
const neutralOf = (row: { quad: string; l: number; a: number; b: number }) => ({
  quad: quadOf(row),
  lab: { l: row.l, a: row.a, b: row.b },
})

/** Replaces card, tiles and chart of a photo. @returns whether there is any of them now */
export async function saveKnown(change: Changing, photoId: string, layout: Layout): Promise<boolean> {
  const { card, chart, tiles = [] } = layout
  const said = ({ quad, lab }: { quad: Quad; lab: { l: number; a: number; b: number } }) => ({
    quad: JSON.stringify(quad),
    l: lab.l,
    a: lab.a,
    b: lab.b,
  })
  await saveRows(change, 'card', photoId, card ? [said(card)] : [])
  await saveRows(
    change,
    'chart',
    photoId,
    chart ? [{ quad: JSON.stringify(chart.quad), chart_table: chart.table }] : [],
  )
  await saveRows(
    change,
    'tile',
    photoId,
    tiles.map((tile, position) => ({ position, kind: tile.kind, ...said(tile) })),
  )
  return card !== null || Boolean(chart) || tiles.length > 0
}

type Said = Record<string, string | number>

/** A row for each, in order: rows that are there say something new, missing ones are added, surplus ones go. */
async function saveRows(
  change: Changing,
  table: 'card' | 'chart' | 'tile',
  photoId: string,
  wanted: readonly Said[],
): Promise<void> {
  const query = change.db.selectFrom(table).select('id').where('photo_id', '=', photoId)
  const old = await (table === 'tile' ? query.orderBy('position' as never) : query).execute()
  for (const [i, row] of wanted.entries()) {
    const id = old[i]?.id
    if (id) await change.update(table, id, row)
    else await change.insert(table, { id: v7(), photo_id: photoId, ...row } as never)
  }
  for (const { id } of old.slice(wanted.length)) await change.remove(table, id)
}
