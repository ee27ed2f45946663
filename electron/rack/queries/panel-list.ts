import { type Kysely, sql } from 'kysely'
import type { Band, PanelFilter, PanelSort, PanelStatus, PanelSummary } from '../../../shared-core/records/panel.ts'
import type { WordTaken } from '../../../shared-core/records/wall.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'
import { grouped } from './panel-read.ts'
import { stageOrderText, viewOrderText } from './wall/derived-sql.ts'
import { orderPanels } from './wall/order.ts'

/** A number that orders readings of one step: the further along, the more like what hangs on the rack. */
export const stageOrder = sql.raw<number>(stageOrderText)
export const viewOrder = sql.raw<number>(viewOrderText)

/**
 * What the panels of a filter show, in the order asked for. A fixed number of queries whatever the rack's size.
 * @param limit  no more than so many; left out: all of them
 */
export async function listPanels(
  db: Kysely<Tables>,
  filter: PanelFilter,
  sort: PanelSort,
  limit = Number.POSITIVE_INFINITY,
): Promise<{ panels: PanelSummary[]; total: number; corrected?: WordTaken[] }> {
  const { ids, total, corrected } = await orderPanels(db, filter, sort, 'none')
  const panels = await listSummaries(db, ids.length > limit ? ids.slice(0, limit) : ids)
  return { panels, total, ...(corrected.length > 0 ? { corrected } : {}) }
}

/** Summaries of panels that are not in the trash, in the order of the ids. */
export async function listSummaries(db: Kysely<Tables>, ids: readonly string[]): Promise<PanelSummary[]> {
  const rows = await db
    .selectFrom('panel')
    .select(['id', 'code', 'title', 'status', 'sprayed_on'])
    .where('id', 'in', among(ids))
    .where('deleted_at', 'is', null)
    .execute()
  const heads = new Map(rows.map((row) => [row.id, row]))
  return summarise(
    db,
    ids.flatMap((id) => heads.get(id) ?? []),
  )
}

/** Ids of the panels that steps belong to, in the order of the steps. */
export async function panelsOfSteps(db: Kysely<Tables>, stepIds: readonly string[]): Promise<string[]> {
  if (stepIds.length === 0) return []
  const rows = await db.selectFrom('step').select(['id', 'panel_id']).where('id', 'in', among(stepIds)).execute()
  const panelOf = new Map(rows.map((row) => [row.id, row.panel_id]))
  return stepIds.flatMap((id) => panelOf.get(id) ?? [])
}

/** Summaries by panel id. */
export async function readSummaries(db: Kysely<Tables>, ids: readonly string[]): Promise<Map<string, PanelSummary>> {
  const rows = await db
    .selectFrom('panel')
    .select(['id', 'code', 'title', 'status', 'sprayed_on'])
    .where('id', 'in', among(ids))
    .execute()
  return new Map((await summarise(db, rows)).map((summary) => [summary.id, summary]))
}

type Head = { id: string; code: string; title: string; status: string; sprayed_on: string | null }

async function summarise(db: Kysely<Tables>, heads: readonly Head[]): Promise<PanelSummary[]> {
  const ids = among(heads.map((head) => head.id))
  const layers = grouped(
    await db
      .selectFrom('layer')
      .select(['panel_id', 'kind', 'name', 'coats'])
      .where('panel_id', 'in', ids)
      // by the panels, of which there are few, not by the kinds
      .where(sql<boolean>`+kind in ('ground', 'clear')`)
      .orderBy('panel_id')
      .orderBy('position')
      .execute(),
  )
  const candies = grouped(
    await db
      .selectFrom('layer')
      .innerJoin('mixture_part', 'mixture_part.root_id', 'layer.mixture_id')
      .innerJoin('material', 'material.id', 'mixture_part.material_id')
      .select(['layer.panel_id', 'material.name'])
      .where('layer.panel_id', 'in', ids)
      .where(sql<boolean>`+layer.kind = 'candy' and +material.kind = 'concentrate'`)
      .orderBy('layer.panel_id')
      .orderBy('layer.position')
      .orderBy('mixture_part.position')
      .execute(),
  )
  const tags = grouped(
    await db
      .selectFrom('tag')
      .select(['panel_id', 'name'])
      .where('panel_id', 'in', ids)
      .orderBy('panel_id')
      .orderBy('position')
      .execute(),
  )
  const bands = await readBands(db, heads)
  return heads.map((head) => {
    const own = layers.get(head.id) ?? []
    const shown = bands.get(head.id) ?? []
    const coats = shown.map((band) => band.coats)
    return {
      id: head.id,
      code: head.code,
      title: head.title,
      status: head.status as PanelStatus,
      sprayedOn: head.sprayed_on,
      ground: own.find((layer) => layer.kind === 'ground')?.name ?? null,
      candies: [...new Set((candies.get(head.id) ?? []).map((candy) => candy.name))],
      coatsFrom: coats.length > 0 ? Math.min(...coats) : 0,
      coatsTo: coats.length > 0 ? Math.max(...coats) : 0,
      cleared: own.some((layer) => layer.kind === 'clear' && layer.coats > 0),
      tags: (tags.get(head.id) ?? []).map((tag) => tag.name),
      bands: shown,
    }
  })
}

/** The steps of panels, each with its best reading: cleared or cured before dry before wet, face first, newest. */
async function readBands(db: Kysely<Tables>, heads: readonly Head[]): Promise<Map<string, Band[]>> {
  const ids = among(heads.map((head) => head.id))
  const best = db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .select(['step.id as step_id', 'reading.l', 'reading.a', 'reading.b', 'reading.bound90', 'reading.cut_key'])
    .select(
      sql<number>`row_number() over (partition by reading.step_id
        order by ${stageOrder}, ${viewOrder}, reading.taken_at desc, reading.id desc)`.as('place'),
    )
    .where('step.panel_id', 'in', ids)
    .where('reading.deleted_at', 'is', null)
    // a band shows D50 and 2° as they are; a figure given otherwise is kept, but is no band's colour
    .where('reading.illuminant', '=', 'D50')
    .where('reading.observer', '=', '2')
  const rows = await db
    .selectFrom('step')
    .leftJoin(best.as('best'), (join) => join.onRef('best.step_id', '=', 'step.id').on('best.place', '=', 1))
    .select(['step.panel_id', 'step.id', 'step.coats', 'best.l', 'best.a', 'best.b', 'best.bound90', 'best.cut_key'])
    .where('step.panel_id', 'in', ids)
    .orderBy('step.panel_id')
    .orderBy('step.position')
    .execute()
  const fades = await db
    .selectFrom('area')
    .innerJoin('step', 'step.id', 'area.step_id')
    .innerJoin('photo', 'photo.id', 'area.photo_id')
    .select(['area.step_id', 'area.cut_key'])
    .where('step.panel_id', 'in', ids)
    .where('area.kind', '=', 'fade')
    .where('area.position', 'is not', null)
    .where('photo.filed', '=', 1)
    .where('photo.deleted_at', 'is', null)
    .orderBy('area.id')
    .execute()
  const fadeOf = new Map(fades.map((fade) => [fade.step_id, fade.cut_key]))
  const bands = new Map<string, Band[]>()
  for (const row of rows) {
    const lab = row.l !== null && row.a !== null && row.b !== null ? { l: row.l, a: row.a, b: row.b } : null
    const band: Band = {
      stepId: row.id,
      coats: row.coats,
      lab,
      bound90: row.bound90,
      cut: row.cut_key ?? fadeOf.get(row.id) ?? null,
    }
    const list = bands.get(row.panel_id)
    if (list) list.push(band)
    else bands.set(row.panel_id, [band])
  }
  return bands
}
