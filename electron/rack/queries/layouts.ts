import { createHash } from 'node:crypto'
import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import type { Layout, MarkedArea, Point, Quad, Shape } from '../../../shared-core/records/area.ts'
import type { Changing } from '../history/change.ts'
import type { AreaRow, Tables } from '../tables.ts'
import { among } from './among.ts'
import { readKnown, saveKnown } from './known-marks.ts'

/** Key of the cut-out of a shape: the same for the same shape of the same photo, so it is made once. */
export const cutKeyOf = (sha256: string, shape: Shape): string =>
  createHash('sha256')
    .update(JSON.stringify([sha256, shape.kind, pointsOf(shape), radiusOf(shape)]))
    .digest('hex')
    .slice(0, 32)

const pointsOf = (shape: Shape): Point[] => (shape.kind === 'round' ? [shape.centre] : [...shape.quad])
const radiusOf = (shape: Shape): number | null => (shape.kind === 'round' ? shape.radius : null)

export function shapeOf(row: Pick<AreaRow, 'kind' | 'points' | 'radius'>): Shape {
  const points = JSON.parse(row.points) as Point[]
  if (row.kind !== 'round') return { kind: row.kind === 'fade' ? 'fade' : 'quad', quad: points as Quad }
  const [centre] = points
  if (!centre || row.radius === null) throw new Error('A round area without its centre or radius')
  return { kind: 'round', centre, radius: row.radius }
}

/** What is marked on photos, by photo id. */
export async function readLayouts(db: Kysely<Tables>, photoIds: readonly string[]): Promise<Map<string, Layout>> {
  const areas = await db
    .selectFrom('area')
    .selectAll()
    .where('photo_id', 'in', among(photoIds))
    .where('position', 'is not', null)
    .orderBy('position')
    .execute()
  const known = await readKnown(db, photoIds)
  const layouts = new Map<string, Layout>(
    photoIds.map((id) => [id, { areas: [], card: null, ...known.get(id) } satisfies Layout]),
  )
  const references = await referencesReadIn(db, photoIds)
  for (const row of areas) {
    const referenceId = row.step_id === null ? references.get(row.id) : undefined
    const area: MarkedArea = { stepId: row.step_id, shape: shapeOf(row) }
    layouts.get(row.photo_id)?.areas.push(referenceId === undefined ? area : { ...area, referenceId })
  }
  return layouts
}

/** The reference that was read from an area, by area id. */
async function referencesReadIn(db: Kysely<Tables>, photoIds: readonly string[]): Promise<Map<string, string>> {
  const rows = await db
    .selectFrom('reading')
    .innerJoin('reference', 'reference.id', 'reading.reference_id')
    .select(['reading.area_id', 'reference.id'])
    .where('reading.photo_id', 'in', among(photoIds))
    .where('reading.area_id', 'is not', null)
    .where('reading.deleted_at', 'is', null)
    .where('reference.deleted_at', 'is', null)
    .execute()
  return new Map(rows.flatMap(({ area_id, id }) => (area_id === null ? [] : [[area_id, id] as const])))
}

/**
 * What is marked on a photo for something else than it is now filed as: references' areas, and where it is filed as a
 * reference, those of the panels it was filed to.
 */
export async function otherAreas(
  db: Kysely<Tables>,
  photoId: string,
  as: 'panel' | 'reference',
): Promise<MarkedArea[]> {
  const areas = (await readLayouts(db, [photoId])).get(photoId)?.areas ?? []
  const panels = await db
    .selectFrom('filing')
    .select('panel_id')
    .where('photo_id', '=', photoId)
    .where('panel_id', 'is not', null)
    .execute()
  const showsPanel = ({ stepId, shape }: MarkedArea) => stepId !== null || shape.kind === 'fade'
  return areas.filter(
    (area) => area.referenceId !== undefined || (as === 'reference' && panels.length > 0 && showsPanel(area)),
  )
}

export const sameShape = (a: Shape, b: Shape): boolean => cutKeyOf('', a) === cutKeyOf('', b)

/**
 * Replaces what is marked on a photo. An area that readings were taken from stays behind, out of the layout, so that they
 * still know where they come from.
 * @returns the areas' ids and cut-out keys, in order
 */
export async function saveLayout(
  change: Changing,
  photo: { id: string; sha256: string },
  layout: Layout,
): Promise<Array<{ id: string; cutKey: string }>> {
  const rows = await change.db.selectFrom('area').selectAll().where('photo_id', '=', photo.id).execute()
  const used = new Set<string>()
  const kept: Array<{ id: string; cutKey: string }> = []
  for (const [position, area] of layout.areas.entries()) {
    const cutKey = cutKeyOf(photo.sha256, area.shape)
    const old = rows.find((row) => row.cut_key === cutKey && row.step_id === area.stepId && !used.has(row.id))
    const id = old?.id ?? v7()
    used.add(id)
    kept.push({ id, cutKey })
    if (old) await change.update('area', id, { position })
    else await change.insert('area', asRow(id, photo.id, position, area, cutKey))
  }
  const stale = rows.filter((row) => !used.has(row.id))
  const read = await change.db
    .selectFrom('reading')
    .select('area_id')
    .where('area_id', 'in', among(stale.map((row) => row.id)))
    .execute()
  for (const row of stale) {
    if (read.some((reading) => reading.area_id === row.id)) await change.update('area', row.id, { position: null })
    else await change.remove('area', row.id)
  }
  const isKnown = await saveKnown(change, photo.id, layout)
  await change.update('photo', photo.id, {
    laid_out_at: layout.areas.length > 0 || isKnown || layout.sheet ? new Date().toISOString() : null,
    mm_per_pixel: layout.mmPerPixel ?? null,
    sheet: layout.sheet ? JSON.stringify(layout.sheet) : null,
  })
  return kept
}

/** The same layout, in which an area whose step is no longer there belongs to none. */
export async function withoutLostSteps(db: Kysely<Tables>, layout: Layout): Promise<Layout> {
  const named = among(layout.areas.flatMap(({ stepId }) => stepId ?? []))
  const steps = await db.selectFrom('step').select('id').where('id', 'in', named).execute()
  const present = (stepId: string | null) => (steps.some(({ id }) => id === stepId) ? stepId : null)
  return { ...layout, areas: layout.areas.map((area) => ({ ...area, stepId: present(area.stepId) })) }
}

const asRow = (id: string, photoId: string, position: number, area: MarkedArea, cutKey: string): AreaRow => ({
  id,
  photo_id: photoId,
  position,
  step_id: area.stepId,
  kind: area.shape.kind,
  points: JSON.stringify(pointsOf(area.shape)),
  radius: radiusOf(area.shape),
  cut_key: cutKey,
})

/** How far two photos' proportions may differ for one's layout to suit the other. */
const alikeWithin = 0.02

export const areAlike = (a: { width: number; height: number }, b: { width: number; height: number }): boolean =>
  Math.abs(((a.width / a.height) * b.height) / b.width - 1) <= alikeWithin

/**
 * The last layout of another photo of like proportions, fitted to this one's size; it names no steps. One without areas,
 * as of a chart photographed for a set-up, is proposed only where there is no other.
 */
export async function proposedLayout(
  db: Kysely<Tables>,
  photo: { id: string; width: number; height: number },
): Promise<Layout | null> {
  const recent = await db
    .selectFrom('photo')
    .select(['id', 'width', 'height'])
    .where('laid_out_at', 'is not', null)
    .where('deleted_at', 'is', null)
    .where('id', '<>', photo.id)
    .orderBy('laid_out_at', 'desc')
    .orderBy('id', 'desc')
    .limit(50)
    .execute()
  const alike = recent.filter((other) => areAlike(other, photo))
  const layouts = await readLayouts(
    db,
    alike.map(({ id }) => id),
  )
  const last = alike.find(({ id }) => layouts.get(id)?.areas.length) ?? alike[0]
  const layout = last && layouts.get(last.id)
  return layout ? fitted(layout, photo.width / last.width, photo.height / last.height) : null
}

function fitted(layout: Layout, across: number, down: number): Layout {
  const point = ([x, y]: Point): Point => [x * across, y * down]
  const quad = ([a, b, c, d]: Quad): Quad => [point(a), point(b), point(c), point(d)]
  const scale = Math.sqrt(across * down)
  const shape = (old: Shape): Shape =>
    old.kind === 'round'
      ? { kind: 'round', centre: point(old.centre), radius: old.radius * scale }
      : { kind: old.kind, quad: quad(old.quad) }
  const { tiles, chart, mmPerPixel } = layout
  // a reference that lay beside a panel once is not looked for beside the next one
  const steps = layout.areas.filter(({ referenceId }) => referenceId === undefined)
  return {
    areas: (steps.length > 0 ? steps : layout.areas).map((area) => ({ stepId: null, shape: shape(area.shape) })),
    card: layout.card && { ...layout.card, quad: quad(layout.card.quad) },
    ...(tiles && { tiles: tiles.map((tile) => ({ ...tile, quad: quad(tile.quad) })) }),
    ...(chart && { chart: { ...chart, quad: quad(chart.quad) } }),
    ...(mmPerPixel && { mmPerPixel: mmPerPixel / scale }),
  }
}
