import type { Kysely } from 'kysely'
import type { PanelStood } from '../../../../shared-core/records/history.ts'
import type { AmountUnit, Basis, MaterialKind, Mixture } from '../../../../shared-core/records/mixture.ts'
import type { Layer, LayerKind, PanelStatus } from '../../../../shared-core/records/panel.ts'
import { among } from '../../queries/among.ts'
import { asReading } from '../../queries/readings.ts'
import { asGunSetup } from '../../queries/shelf.ts'
import type { LayerRow, Tables } from '../../tables.ts'
import type { Route } from './route.ts'
import { RowSet, rowsOfPanel, sharedRows, walk } from './rows.ts'

/** A panel's rows at one time, and those of what it shared with others then. */
export type PanelRows = { panelId: string; own: RowSet; shared: RowSet }

export async function panelRowsNow(db: Kysely<Tables>, panelId: string): Promise<PanelRows> {
  const own = await rowsOfPanel(db, panelId)
  return { panelId, own, shared: await sharedRows(db, await sharedIds(db, own)) }
}

/** @throws Refusal `history/unknown` */
export async function panelRowsAt(db: Kysely<Tables>, panelId: string, route: Route): Promise<PanelRows> {
  const own = await rowsOfPanel(db, panelId)
  await walk(db, own, [panelId], route)
  const ids = await sharedIds(db, own)
  const shared = await sharedRows(db, ids)
  await walk(db, shared, ids, route)
  return { panelId, own, shared }
}

/** What a panel's rows name, and what is marked on its photos now. */
async function sharedIds(db: Kysely<Tables>, own: RowSet): Promise<string[]> {
  const photos = own.all('filing').map(({ photo_id }) => photo_id)
  const marked =
    photos.length === 0 ? [] : await db.selectFrom('area').select('id').where('photo_id', 'in', among(photos)).execute()
  const named = [
    ...own.all('mixture_part').map(({ material_id }) => material_id),
    ...own.all('layer').map(({ gun_setup_id }) => gun_setup_id),
    ...own.all('reading').flatMap(({ photo_id, area_id, light_id }) => [photo_id, area_id, light_id]),
    ...photos,
    ...marked.map(({ id }) => id),
  ]
  return [...new Set(named.filter((id): id is string => id !== null))]
}

/** The panel as its rows say it; null where it was not there. */
export function asStood({ panelId, own, shared }: PanelRows): PanelStood | null {
  const row = own.get('panel', panelId)
  if (!row) return null
  const steps = own.all('step').toSorted(byPosition)
  const placeOf = new Map(steps.map(({ id, position }) => [id, position]))
  const readings = own
    .all('reading')
    .filter(({ deleted_at, step_id }) => deleted_at === null && step_id !== null && placeOf.has(step_id))
    .toSorted(
      (a, b) =>
        (placeOf.get(a.step_id ?? '') ?? 0) - (placeOf.get(b.step_id ?? '') ?? 0) ||
        compare(b.taken_at, a.taken_at) ||
        compare(b.id, a.id),
    )
  const photoIds = new Set(own.all('filing').map(({ photo_id }) => photo_id))
  const photos = shared
    .all('photo')
    .filter(({ id, deleted_at }) => photoIds.has(id) && deleted_at === null)
    .toSorted((a, b) => compare(a.added_at, b.added_at) || compare(a.id, b.id))
  return {
    panel: {
      id: panelId,
      code: row.code,
      title: row.title,
      status: row.status as PanelStatus,
      sprayedOn: row.sprayed_on,
      sprayedBy: row.sprayed_by,
      substrate: row.substrate,
      notes: row.notes,
      tags: own
        .all('tag')
        .toSorted(byPosition)
        .map(({ name }) => name),
      layers: own
        .all('layer')
        .toSorted(byPosition)
        .map((layer) => asLayer(layer, own, shared)),
      steps: steps.map(({ id, coats, notes }) => ({ id, coats, notes })),
    },
    inTrash: row.deleted_at !== null,
    readings: readings.map(asReading),
    photos: photos.map(({ id, name, sha256 }) => ({ id, name, sha256 })),
  }
}

const byPosition = (a: { position: number }, b: { position: number }): number => a.position - b.position
const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

function asLayer(row: LayerRow, own: RowSet, shared: RowSet): Layer {
  const gun = row.gun_setup_id === null ? undefined : shared.get('gun_setup', row.gun_setup_id)
  const booth = row.booth_id === null ? undefined : own.get('booth_conditions', row.booth_id)
  return {
    id: row.id,
    kind: row.kind as LayerKind,
    name: row.name,
    coats: row.coats,
    mixture: row.mixture_id === null ? null : asMixture(row.mixture_id, own, shared),
    gunSetup: gun ? asGunSetup(gun) : null,
    booth: booth
      ? {
          temperatureC: booth.temperature_c,
          humidityPercent: booth.humidity_percent,
          flashOffMin: booth.flash_off_min,
          reducerGrade: booth.reducer_grade,
        }
      : null,
    notes: row.notes,
  }
}

function asMixture(id: string, own: RowSet, shared: RowSet): Mixture | null {
  const row = own.get('mixture', id)
  if (!row) return null
  const parts = own
    .all('mixture_part')
    .filter(({ mixture_id }) => mixture_id === id)
    .toSorted(byPosition)
  return {
    name: row.name,
    basis: row.basis as Basis,
    parts: parts.map(({ amount, unit, material_id, child_id }) => {
      const material = material_id === null ? undefined : shared.get('material', material_id)
      return {
        amount,
        unit: unit as AmountUnit,
        material: material ? { id: material.id, name: material.name, kind: material.kind as MaterialKind } : null,
        mixture: child_id === null ? null : asMixture(child_id, own, shared),
      }
    }),
  }
}
