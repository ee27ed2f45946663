import { type Kysely, sql } from 'kysely'
import type { Layer, LayerKind, Panel, PanelStatus } from '../../../shared-core/records/panel.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'
import { readMixtures } from './mixtures.ts'
import { panelAbsent } from './panels.ts'
import { asGunSetup } from './shelf.ts'

/** Whole panels, in the order asked for; those that are in the trash are left out. */
export async function readPanelsThere(db: Kysely<Tables>, ids: readonly string[]): Promise<Panel[]> {
  const there = await db
    .selectFrom('panel')
    .select('id')
    .where('id', 'in', among(ids))
    .where('deleted_at', 'is', null)
    .execute()
  const known = new Set(there.map(({ id }) => id))
  return readPanels(
    db,
    ids.filter((id) => known.has(id)),
  )
}

/** Whole panels, in the order asked for. @throws Refusal `panel/absent` when one is not there */
export async function readPanels(db: Kysely<Tables>, ids: readonly string[]): Promise<Panel[]> {
  const rows = await db
    .selectFrom('panel')
    .selectAll()
    .where('id', 'in', among(ids))
    .where('deleted_at', 'is', null)
    .execute()
  const tags = grouped(
    await db.selectFrom('tag').selectAll().where('panel_id', 'in', among(ids)).orderBy('position').execute(),
  )
  const steps = grouped(
    await db.selectFrom('step').selectAll().where('panel_id', 'in', among(ids)).orderBy('position').execute(),
  )
  const layers = await readLayers(db, ids)
  const byId = new Map(rows.map((row) => [row.id, row]))
  return ids.map((id) => {
    const row = byId.get(id)
    if (!row) throw panelAbsent()
    return {
      id,
      code: row.code,
      title: row.title,
      status: row.status as PanelStatus,
      sprayedOn: row.sprayed_on,
      sprayedBy: row.sprayed_by,
      substrate: row.substrate,
      notes: row.notes,
      tags: (tags.get(id) ?? []).map((tag) => tag.name),
      layers: layers.get(id) ?? [],
      steps: (steps.get(id) ?? []).map((step) => ({ id: step.id, coats: step.coats, notes: step.notes })),
    }
  })
}

export async function readPanel(db: Kysely<Tables>, id: string): Promise<Panel> {
  const [panel] = await readPanels(db, [id])
  if (!panel) throw panelAbsent()
  return panel
}

/** The id of the panel with this id or code. @throws Refusal `panel/absent` */
export async function findPanel(db: Kysely<Tables>, key: string): Promise<string> {
  const row = await db
    .selectFrom('panel')
    .select('id')
    .where((e) => e.or([e('id', '=', key), e('code', '=', key.trim())]))
    .where('deleted_at', 'is', null)
    .executeTakeFirst()
  if (!row) throw panelAbsent()
  return row.id
}

/** Layers of panels in spray order, with their mixtures. */
export async function readLayers(
  db: Kysely<Tables>,
  panelIds: readonly string[],
  kind?: LayerKind,
): Promise<Map<string, Layer[]>> {
  let query = db.selectFrom('layer').selectAll().where('panel_id', 'in', among(panelIds))
  // by the panels, of which there are few, not by the kind
  if (kind) query = query.where(sql<boolean>`+kind = ${kind}`)
  const rows = await query.orderBy('panel_id').orderBy('position').execute()
  const mixtures = await readMixtures(
    db,
    rows.flatMap((row) => row.mixture_id ?? []),
  )
  const setups = await db
    .selectFrom('gun_setup')
    .selectAll()
    .where('id', 'in', among([...new Set(rows.flatMap((row) => row.gun_setup_id ?? []))]))
    .execute()
  const booths = await db
    .selectFrom('booth_conditions')
    .selectAll()
    .where('id', 'in', among(rows.flatMap((row) => row.booth_id ?? [])))
    .execute()
  const setupById = new Map(setups.map((row) => [row.id, asGunSetup(row)]))
  const boothById = new Map(
    booths.map((row) => [
      row.id,
      {
        temperatureC: row.temperature_c,
        humidityPercent: row.humidity_percent,
        flashOffMin: row.flash_off_min,
        reducerGrade: row.reducer_grade,
      },
    ]),
  )
  const layers = new Map<string, Layer[]>()
  for (const row of rows) {
    const layer: Layer = {
      id: row.id,
      kind: row.kind as LayerKind,
      name: row.name,
      coats: row.coats,
      mixture: (row.mixture_id !== null && mixtures.get(row.mixture_id)) || null,
      gunSetup: (row.gun_setup_id !== null && setupById.get(row.gun_setup_id)) || null,
      booth: (row.booth_id !== null && boothById.get(row.booth_id)) || null,
      notes: row.notes,
    }
    const list = layers.get(row.panel_id)
    if (list) list.push(layer)
    else layers.set(row.panel_id, [layer])
  }
  return layers
}

export const grouped = <R extends { panel_id: string }>(rows: readonly R[]): Map<string, R[]> =>
  Map.groupBy(rows, (row) => row.panel_id)
