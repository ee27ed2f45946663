import type { Kysely } from 'kysely'
import { sharedSize } from '../../../shared-core/capture/shared-errors.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Geometry, Illuminant, Level, Observer, Stage, View } from '../../../shared-core/records/colour.ts'
import type { PanelFilter, ReadingFilter } from '../../../shared-core/records/panel.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { BoundPart, Reading, Texture } from '../../../shared-core/records/reading.ts'
import type { Changing } from '../history/change.ts'
import type { ReadingRow, Tables } from '../tables.ts'
import { among } from './among.ts'
import { filteredPanels } from './panel-filter.ts'

export const readingAbsent = () =>
  new Refusal('reading/absent', 'This reading is not in the rack (any more).', 'Undo brings a removed reading back.')

export const asReading = (row: ReadingRow): Reading => ({
  id: row.id,
  stepId: row.step_id,
  referenceId: row.reference_id,
  photoId: row.photo_id,
  areaId: row.area_id,
  lab: { l: row.l, a: row.a, b: row.b },
  illuminant: row.illuminant as Illuminant,
  observer: row.observer as Observer,
  geometry: row.geometry as Geometry,
  level: row.level as Level,
  bound90: row.bound90,
  parts: JSON.parse(row.parts) as BoundPart[],
  cautions: JSON.parse(row.cautions) as Caution[],
  texture: row.texture === null ? null : (JSON.parse(row.texture) as Texture),
  spectrum: row.spectrum === null ? null : (JSON.parse(row.spectrum) as NonNullable<Reading['spectrum']>),
  instrument: row.instrument,
  cut: row.cut_key,
  setupId: row.setup_id,
  lightId: row.light_id,
  view: row.view as View,
  stage: row.stage as Stage,
  ageDays: row.age_days,
  takenAt: row.taken_at,
})

export async function addReading(change: Changing, reading: Reading): Promise<void> {
  await change.insert('reading', readingRow(reading))
}

export const readingRow = (reading: Reading): ReadingRow => ({
  id: reading.id,
  step_id: reading.stepId,
  reference_id: reading.referenceId,
  photo_id: reading.photoId,
  area_id: reading.areaId,
  l: reading.lab.l,
  a: reading.lab.a,
  b: reading.lab.b,
  illuminant: reading.illuminant,
  observer: reading.observer,
  geometry: reading.geometry,
  level: reading.level,
  bound90: reading.bound90,
  parts: JSON.stringify(reading.parts),
  cautions: JSON.stringify(reading.cautions),
  cut_key: reading.cut,
  light_id: reading.lightId,
  view: reading.view,
  stage: reading.stage,
  age_days: reading.ageDays,
  taken_at: reading.takenAt,
  deleted_at: null,
  texture: reading.texture ? JSON.stringify(reading.texture) : null,
  setup_id: reading.setupId ?? null,
  spectrum: reading.spectrum ? JSON.stringify(reading.spectrum) : null,
  instrument: reading.instrument ?? null,
  bound_shared_photo: sharedSize(reading.parts, 'photo'),
  bound_shared_setup: sharedSize(reading.parts, 'set-up'),
})

/** A reading whose panel or reference is there too. @throws Refusal `reading/absent` */
export async function getReading(db: Kysely<Tables>, id: string): Promise<Reading> {
  const row = await db
    .selectFrom('reading')
    .leftJoin('step', 'step.id', 'reading.step_id')
    .leftJoin('panel', 'panel.id', 'step.panel_id')
    .leftJoin('reference', 'reference.id', 'reading.reference_id')
    .selectAll('reading')
    .where('reading.id', '=', id)
    .where('reading.deleted_at', 'is', null)
    .where('panel.deleted_at', 'is', null)
    .where('reference.deleted_at', 'is', null)
    .executeTakeFirst()
  if (!row) throw readingAbsent()
  return asReading(row)
}

export async function removeReading(change: Changing, id: string): Promise<void> {
  await change.update('reading', id, { deleted_at: new Date().toISOString() })
}

/** Every reading of a panel: by step, newest first. */
export async function listPanelReadings(db: Kysely<Tables>, panelId: string): Promise<Reading[]> {
  const rows = await db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .selectAll('reading')
    .where('step.panel_id', '=', panelId)
    .where('reading.deleted_at', 'is', null)
    .orderBy('step.position')
    .orderBy('reading.taken_at', 'desc')
    .orderBy('reading.id', 'desc')
    .execute()
  return rows.map(asReading)
}

/** One reading of one step, with as much as finding the nearest needs: a rack holds very many. */
export type Candidate = {
  panelId: string
  panelCode: string
  panelCreatedAt: string
  stepId: string
  coats: number
  reading: Pick<
    Reading,
    | 'id'
    | 'lab'
    | 'bound90'
    | 'illuminant'
    | 'observer'
    | 'geometry'
    | 'level'
    | 'view'
    | 'stage'
    | 'lightId'
    | 'photoId'
  > & {
    setupId: string | null
    /** How much of `bound90` all readings of its photo share, and of its set-up; null where the reading does not say. */
    sharedPhoto: number | null
    sharedSetup: number | null
  }
}

/** Readings of all steps that the filters let through. */
export async function listCandidates(
  db: Kysely<Tables>,
  filter: PanelFilter,
  readings: ReadingFilter,
): Promise<Candidate[]> {
  let query = candidates(db).where('panel.id', 'in', (await filteredPanels(db, filter)).panels.select('panel.id'))
  if (readings.view !== null) query = query.where('reading.view', '=', readings.view)
  if (readings.lightId !== null) query = query.where('reading.light_id', '=', readings.lightId)
  return (await query.execute()).map(asCandidate)
}

/** Readings of some steps, those of one step side by side. */
export async function readCandidates(
  db: Kysely<Tables>,
  stepIds: readonly string[],
  readings: ReadingFilter,
): Promise<Candidate[]> {
  let query = candidates(db).where('reading.step_id', 'in', among(stepIds))
  if (readings.view !== null) query = query.where('reading.view', '=', readings.view)
  if (readings.lightId !== null) query = query.where('reading.light_id', '=', readings.lightId)
  return (await query.orderBy('reading.step_id').execute()).map(asCandidate)
}

const candidates = (db: Kysely<Tables>) =>
  db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .innerJoin('panel', 'panel.id', 'step.panel_id')
    .select([
      'panel.id as panel_id',
      'panel.code',
      'panel.created_at',
      'step.id as step_id',
      'step.coats',
      'reading.id',
      'reading.l',
      'reading.a',
      'reading.b',
      'reading.bound90',
      'reading.illuminant',
      'reading.observer',
      'reading.geometry',
      'reading.level',
      'reading.view',
      'reading.stage',
      'reading.light_id',
      'reading.photo_id',
      'reading.setup_id',
      'reading.bound_shared_photo',
      'reading.bound_shared_setup',
    ])
    .where('reading.deleted_at', 'is', null)
    .where('panel.deleted_at', 'is', null)

type CandidateRow = Awaited<ReturnType<ReturnType<typeof candidates>['execute']>>[number]

const asCandidate = (row: CandidateRow): Candidate => ({
  panelId: row.panel_id,
  panelCode: row.code,
  panelCreatedAt: row.created_at,
  stepId: row.step_id,
  coats: row.coats,
  reading: {
    id: row.id,
    lab: { l: row.l, a: row.a, b: row.b },
    bound90: row.bound90,
    illuminant: row.illuminant as Illuminant,
    observer: row.observer as Observer,
    geometry: row.geometry as Geometry,
    level: row.level as Level,
    view: row.view as View,
    stage: row.stage as Stage,
    lightId: row.light_id,
    photoId: row.photo_id,
    setupId: row.setup_id,
    sharedPhoto: row.bound_shared_photo,
    sharedSetup: row.bound_shared_setup,
  },
})

/** Every reading of some steps and of a reference. */
export async function listReadingsOf(
  db: Kysely<Tables>,
  of: { stepIds: readonly string[]; referenceId?: string | null },
): Promise<Reading[]> {
  const there = db.selectFrom('reading').selectAll().where('deleted_at', 'is', null)
  const steps = await there.where('step_id', 'in', among(of.stepIds)).orderBy('taken_at').orderBy('id').execute()
  const rows = of.referenceId ? await there.where('reference_id', '=', of.referenceId).execute() : []
  return [...steps, ...rows].map(asReading)
}
