import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Light } from '../../../shared-core/records/colour.ts'
import type { Material, MaterialKind, MaterialRef } from '../../../shared-core/records/mixture.ts'
import type { GunSetup } from '../../../shared-core/records/panel.ts'
import type { Changing } from '../change.ts'
import type { GunSetupRow, MaterialRow, Tables } from '../tables.ts'

/** What formulas are made with: materials, gun set-ups and the lights photos are taken in. */

const asMaterial = (row: MaterialRow): Material => ({
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
})

export async function listMaterials(db: Kysely<Tables>): Promise<Material[]> {
  const rows = await db.selectFrom('material').selectAll().orderBy('name').orderBy('kind').execute()
  return rows.map(asMaterial)
}

/** Puts a material on the shelf, with all that is known of it. @returns its id */
export async function addMaterial(change: Changing, material: Omit<Material, 'id'>): Promise<string> {
  const id = v7()
  await change.insert('material', {
    id,
    name: material.name.trim(),
    kind: material.kind,
    maker_name: material.makerName,
    density_kg_per_l: material.densityKgPerL,
    volume_solids_percent: material.volumeSolidsPercent,
    cost_per_l: material.costPerL,
    batch: material.batch,
    data_sheet: material.dataSheet,
    notes: material.notes,
  })
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
  return addMaterial(change, {
    name,
    kind: meant.kind,
    makerName: '',
    densityKgPerL: null,
    volumeSolidsPercent: null,
    costPerL: null,
    batch: '',
    dataSheet: '',
    notes: '',
  })
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
