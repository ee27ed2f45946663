import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Light } from '../../../shared-core/records/colour.ts'
import {
  type Basis,
  type Material,
  type MaterialKind,
  type MaterialRef,
  namedMaterial,
} from '../../../shared-core/records/mixture.ts'
import type { GunSetup } from '../../../shared-core/records/panel.ts'
import type { Changing } from '../history/change.ts'
import type { GunSetupRow, MaterialRow, Tables } from '../tables.ts'
import { among } from './among.ts'

/** What formulas are made with: materials, gun set-ups and the lights photos are taken in. */

export const asMaterial = (row: MaterialRow): Material => ({
  id: row.id,
  name: row.name,
  kind: row.kind as MaterialKind,
  makerName: row.maker_name,
  densityKgPerL: row.density_kg_per_l,
  volumeSolidsPercent: row.volume_solids_percent,
  costPerL: row.cost_per_l,
  batch: row.batch,
  dataSheet: row.data_sheet,
  notes: row.notes,
  onShelf: row.on_shelf === 1,
  onHand: row.on_hand === null ? null : { amount: row.on_hand, basis: (row.on_hand_basis ?? 'volume') as Basis },
  openedOn: row.opened_on,
  reorderAt: row.reorder_at,
  dataSheetFile:
    row.data_sheet_sha256 === null
      ? null
      : { sha256: row.data_sheet_sha256, name: row.data_sheet_name ?? 'data sheet' },
  potLifeMin: row.pot_life_min,
  flakeMicron: row.flake_micron,
  isocyanate: row.isocyanate === null ? null : row.isocyanate === 1,
  replacedById: row.replaced_by_id,
})

/** A material as its row says it. */
export const materialRow = (material: Material): MaterialRow => ({
  id: material.id,
  name: material.name.trim(),
  kind: material.kind,
  maker_name: material.makerName,
  density_kg_per_l: material.densityKgPerL,
  volume_solids_percent: material.volumeSolidsPercent,
  cost_per_l: material.costPerL,
  batch: material.batch,
  data_sheet: material.dataSheet,
  notes: material.notes,
  on_shelf: material.onShelf ? 1 : 0,
  on_hand: material.onHand?.amount ?? null,
  on_hand_basis: material.onHand?.basis ?? null,
  opened_on: material.openedOn,
  reorder_at: material.reorderAt,
  data_sheet_sha256: material.dataSheetFile?.sha256 ?? null,
  data_sheet_name: material.dataSheetFile?.name ?? null,
  pot_life_min: material.potLifeMin,
  flake_micron: material.flakeMicron,
  isocyanate: material.isocyanate === null ? null : Number(material.isocyanate),
  replaced_by_id: material.replacedById,
})

export async function listMaterials(db: Kysely<Tables>): Promise<Material[]> {
  const rows = await db.selectFrom('material').selectAll().orderBy('name').orderBy('kind').execute()
  return rows.map(asMaterial)
}

export const materialAbsent = () =>
  new Refusal(
    'material/absent',
    'This material is not in the rack (any more).',
    'Open the list again and choose what is there.',
  )

/** @throws Refusal `material/absent` */
export async function readMaterial(db: Kysely<Tables>, id: string): Promise<Material> {
  const row = await db.selectFrom('material').selectAll().where('id', '=', id).executeTakeFirst()
  if (!row) throw materialAbsent()
  return asMaterial(row)
}

/** What is known of a material that is put on the shelf: its name and kind at least. */
export type KnownOfMaterial = Pick<Material, 'name' | 'kind'> & Partial<Omit<Material, 'id'>>

/** Puts a material on the shelf. @returns its id */
export async function addMaterial(change: Changing, known: KnownOfMaterial): Promise<string> {
  const id = v7()
  await change.insert('material', materialRow({ ...namedMaterial(id, known.name, known.kind), ...known }))
  return id
}

/** The shelf's material that is meant: by id, else by name and kind whatever the case, else it is put there. */
export async function findOrAddMaterial(change: Changing, meant: MaterialRef): Promise<string> {
  if (meant.id !== null) {
    const byId = await change.db.selectFrom('material').select('id').where('id', '=', meant.id).executeTakeFirst()
    if (byId) return byId.id
  }
  const name = meant.name.trim()
  // SQLite folds only ASCII: the rest is compared here
  const alike = await change.db.selectFrom('material').select(['id', 'name']).where('kind', '=', meant.kind).execute()
  const found = alike.find((row) => sameWords(row.name, name))
  if (found) return found.id
  return addMaterial(change, { name, kind: meant.kind })
}

/**
 * Says of materials whether they are on the shelf.
 * @returns their names
 * @throws  Refusal `material/absent`
 */
export async function setOnShelf(change: Changing, ids: readonly string[], onShelf: boolean): Promise<string[]> {
  const rows = await change.db.selectFrom('material').select(['id', 'name']).where('id', 'in', among(ids)).execute()
  const known = new Map(rows.map(({ id, name }) => [id, name]))
  const wanted = [...new Set(ids)]
  for (const id of wanted) {
    if (!known.has(id)) throw materialAbsent()
    await change.update('material', id, { on_shelf: onShelf ? 1 : 0 })
  }
  return wanted.map((id) => known.get(id) ?? '')
}

export const sameWords = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase()

export const asGunSetup = (row: GunSetupRow): GunSetup => ({
  id: row.id,
  name: row.name,
  gun: row.gun,
  tipMm: row.tip_mm,
  inletKpa: row.inlet_kpa,
  capKpa: row.cap_kpa,
  distanceMm: row.distance_mm,
  overlapPercent: row.overlap_percent,
})

export async function listGunSetups(db: Kysely<Tables>): Promise<GunSetup[]> {
  const rows = await db.selectFrom('gun_setup').selectAll().orderBy('name').orderBy('id').execute()
  return rows.map(asGunSetup)
}

/**
 * The set-up with this name and these values, or a new one: other values under an old name never alter what earlier
 * panels say they were sprayed with.
 */
export async function findOrAddGunSetup(change: Changing, setup: GunSetup): Promise<string> {
  const row: GunSetupRow = {
    id: v7(),
    name: setup.name.trim(),
    gun: setup.gun,
    tip_mm: setup.tipMm,
    inlet_kpa: setup.inletKpa,
    cap_kpa: setup.capKpa,
    distance_mm: setup.distanceMm,
    overlap_percent: setup.overlapPercent,
  }
  const alike = await change.db.selectFrom('gun_setup').selectAll().execute()
  const found = alike.find(
    (old) =>
      sameWords(old.name, row.name) &&
      old.gun === row.gun &&
      old.tip_mm === row.tip_mm &&
      old.inlet_kpa === row.inlet_kpa &&
      old.cap_kpa === row.cap_kpa &&
      old.distance_mm === row.distance_mm &&
      old.overlap_percent === row.overlap_percent,
  )
  if (found) return found.id
  await change.insert('gun_setup', row)
  return row.id
}

export async function listLights(db: Kysely<Tables>): Promise<Light[]> {
  return db.selectFrom('light').select(['id', 'name', 'kelvin']).orderBy('position').orderBy('name').execute()
}

/** @throws Refusal `light/absent` for a light that was undone, or never there */
export async function mustBeLight(db: Kysely<Tables>, lightId: string | null): Promise<void> {
  if (lightId === null) return
  const row = await db.selectFrom('light').select('id').where('id', '=', lightId).executeTakeFirst()
  if (row) return
  throw new Refusal(
    'light/absent',
    'This light is not in the rack (any more).',
    'Choose another light, or add it again.',
  )
}

/** @returns the light, or null when its name is taken */
export async function addLight(change: Changing, name: string, kelvin: number | null): Promise<Light | null> {
  const lights = await change.db.selectFrom('light').select(['name', 'position']).execute()
  if (lights.some((light) => sameWords(light.name, name))) return null
  const id = v7()
  const position = Math.max(-1, ...lights.map((light) => light.position)) + 1
  await change.insert('light', { id, position, name: name.trim(), kelvin })
  return { id, name: name.trim(), kelvin }
}
