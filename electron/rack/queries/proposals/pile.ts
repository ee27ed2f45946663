import { type Kysely, sql } from 'kysely'
import type { Lab } from '../../../../shared-core/colour/lab.ts'
import type { KnownPanel } from '../../../../shared-core/find/filing/which-panel.ts'
import type { Stage, View } from '../../../../shared-core/records/colour.ts'
import type { LayerKind } from '../../../../shared-core/records/panel.ts'
import type { Caution } from '../../../../shared-core/records/photo.ts'
import type { Tables } from '../../tables.ts'
import { among } from '../among.ts'
import { stageOrder, viewOrder } from '../panel-list.ts'
import { inTray } from '../tray.ts'

/** What deciding on proposals needs to know of photos and panels: a fixed number of queries, however many there are. */

export type PilePhoto = {
  id: string
  name: string
  filed: boolean
  takenAt: string | null
  addedAt: string
  camera: string | null
  lightId: string | null
  setupId: string | null
  view: View
  stage: Stage
  cautions: readonly Caution[]
  isMarked: boolean
  /** The painter will not have what was found in it. */
  isDeclined: boolean
  /** The painter means it as a reference. */
  isReference: boolean
  /** An earlier photo of the same stays beside it. */
  isBothKept: boolean
  /** Of its row of `photo_proposal`, as it was written last; null: there is none. */
  noted: string | null
}

const columns = [
  'photo.id',
  'photo.name',
  'photo.filed',
  'photo.taken_at',
  'photo.added_at',
  'photo.camera',
  'photo.light_id',
  'photo.setup_id',
  'photo.view',
  'photo.stage',
  'photo.cautions',
  'photo.laid_out_at',
  'photo_proposal.made_at',
  'photo_proposal.state',
  'photo_proposal.panel_id',
  'photo_proposal.panel_withdrawn',
  'photo_proposal.marks_declined',
  'photo_proposal.is_reference',
  'photo_proposal.both_kept',
] as const

/** All photos of the tray, in the pile's order. */
export async function readPile(db: Kysely<Tables>): Promise<PilePhoto[]> {
  const rows = await inTray(db)
    .leftJoin('photo_proposal', 'photo_proposal.photo_id', 'photo.id')
    .select(columns)
    .orderBy('photo.added_at')
    .orderBy('photo.id')
    .execute()
  return rows.map(asPilePhoto)
}

/** One photo, wherever it is but in the trash. */
export async function readOutOfPile(db: Kysely<Tables>, photoId: string): Promise<PilePhoto | null> {
  const row = await db
    .selectFrom('photo')
    .leftJoin('photo_proposal', 'photo_proposal.photo_id', 'photo.id')
    .select(columns)
    .where('photo.id', '=', photoId)
    .where('photo.deleted_at', 'is', null)
    .executeTakeFirst()
  return row ? asPilePhoto(row) : null
}

type PileRow = Pick<
  Tables['photo'],
  'id' | 'name' | 'filed' | 'taken_at' | 'added_at' | 'camera' | 'light_id' | 'setup_id' | 'view' | 'stage' | 'cautions'
> & {
  laid_out_at: string | null
  made_at: string | null
  state: string | null
  panel_id: string | null
  panel_withdrawn: 0 | 1 | null
  marks_declined: 0 | 1 | null
  is_reference: 0 | 1 | null
  both_kept: 0 | 1 | null
}

const asPilePhoto = (row: PileRow): PilePhoto => ({
  id: row.id,
  name: row.name,
  filed: row.filed === 1,
  takenAt: row.taken_at,
  addedAt: row.added_at,
  camera: row.camera,
  lightId: row.light_id,
  setupId: row.setup_id,
  view: row.view as View,
  stage: row.stage as Stage,
  cautions: row.cautions === '[]' ? [] : (JSON.parse(row.cautions) as Caution[]),
  isMarked: row.laid_out_at !== null,
  isDeclined: row.marks_declined === 1,
  isReference: row.is_reference === 1,
  isBothKept: row.both_kept === 1,
  // two of them may be written in the same millisecond
  noted: row.made_at === null ? null : `${row.state} ${row.made_at} ${row.panel_id} ${row.panel_withdrawn}`,
})

/** Panels by code, those in the trash too; of two with the same code the one that hangs. */
export async function panelsByCode(
  db: Kysely<Tables>,
  codes: readonly string[],
): Promise<Map<string, { id: string; inTrash: boolean }>> {
  if (codes.length === 0) return new Map()
  const live = await sql<{ said: string; id: string }>`
    select said.value as said, panel.id from json_each(${JSON.stringify(codes)}) as said
    cross join panel on panel.code = said.value where panel.deleted_at is null`.execute(db)
  const found = new Map(live.rows.map(({ said, id }) => [said, { id, inTrash: false }]))
  const missing = codes.filter((code) => !found.has(code))
  if (missing.length === 0) return found
  const trash = await db.selectFrom('panel').select(['id', 'code']).where('deleted_at', 'is not', null).execute()
  const thrown = new Map(trash.map(({ id, code }) => [code.toLowerCase(), id]))
  for (const code of missing) {
    const id = thrown.get(code.toLowerCase())
    if (id !== undefined) found.set(code, { id, inTrash: true })
  }
  return found
}

/** Panels that hang, by their titles in small letters. */
export async function panelsByTitle(db: Kysely<Tables>, titles: readonly string[]): Promise<Map<string, string[]>> {
  if (titles.length === 0) return new Map()
  const rows = await db
    .selectFrom('panel')
    .select(['id', 'title'])
    .where('deleted_at', 'is', null)
    .where('title', '<>', '')
    .execute()
  const wanted = new Set(titles)
  const found = rows.map(({ id, title }) => ({ id, title: title.trim().toLowerCase() }))
  return new Map(
    [
      ...Map.groupBy(
        found.filter(({ title }) => wanted.has(title)),
        ({ title }) => title,
      ),
    ].map(([title, panels]) => [title, panels.map(({ id }) => id)]),
  )
}

/** Panels that hang, by id, each with what its steps were read as: as the wall shows them. */
export async function readKnownPanels(db: Kysely<Tables>, ids: readonly string[]): Promise<Map<string, KnownPanel>> {
  const panels = await db
    .selectFrom('panel')
    .select(['id', 'code', 'title', 'sprayed_on'])
    .where('id', 'in', among(ids))
    .where('deleted_at', 'is', null)
    .execute()
  const there = among(panels.map(({ id }) => id))
  const layers = Map.groupBy(
    await db
      .selectFrom('layer')
      .select(['panel_id', 'kind'])
      .where('panel_id', 'in', there)
      .orderBy('panel_id')
      .orderBy('position')
      .execute(),
    (row) => row.panel_id,
  )
  const steps = Map.groupBy(
    await db
      .selectFrom('step')
      .select(['panel_id', 'id', 'coats', 'notes'])
      .where('panel_id', 'in', there)
      .orderBy('panel_id')
      .orderBy('position')
      .execute(),
    (row) => row.panel_id,
  )
  const read = await readColours(db, there)
  return new Map(
    panels.map(({ id, code, title, sprayed_on }) => {
      const own = steps.get(id) ?? []
      const panel = {
        id,
        code,
        title,
        sprayedOn: sprayed_on,
        layers: (layers.get(id) ?? []).map(({ kind }) => ({ kind: kind as LayerKind })),
        steps: own.map(({ id: stepId, coats, notes }) => ({ id: stepId, coats, notes })),
      }
      return [id, { panel, read: own.map(({ id: stepId }) => read.get(stepId) ?? null) }]
    }),
  )
}

async function readColours(db: Kysely<Tables>, panelIds: ReturnType<typeof among>): Promise<Map<string, Lab>> {
  const best = db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .select(['step.id as step_id', 'reading.l', 'reading.a', 'reading.b'])
    .select(
      sql<number>`row_number() over (partition by reading.step_id
        order by ${stageOrder}, ${viewOrder}, reading.taken_at desc, reading.id desc)`.as('place'),
    )
    .where('step.panel_id', 'in', panelIds)
    .where('reading.deleted_at', 'is', null)
    .where('reading.illuminant', '=', 'D50')
    .where('reading.observer', '=', '2')
  const rows = await db.selectFrom(best.as('best')).select(['step_id', 'l', 'a', 'b']).where('place', '=', 1).execute()
  return new Map(rows.map(({ step_id, l, a, b }) => [step_id, { l, a, b }]))
}

export type FiledPhoto = {
  panelId: string
  id: string
  name: string
  takenAt: string | null
  addedAt: string
  view: View
}

/** Photos that are filed to panels. */
export async function listFiled(db: Kysely<Tables>, panelIds: readonly string[]): Promise<FiledPhoto[]> {
  const rows = await db
    .selectFrom('filing')
    .innerJoin('photo', 'photo.id', 'filing.photo_id')
    .select(['filing.panel_id', 'photo.id', 'photo.name', 'photo.taken_at', 'photo.added_at', 'photo.view'])
    .where('filing.panel_id', 'in', among(panelIds))
    .where('photo.filed', '=', 1)
    .where('photo.deleted_at', 'is', null)
    .execute()
  return rows.flatMap(({ panel_id, id, name, taken_at, added_at, view }) =>
    panel_id === null
      ? []
      : [{ panelId: panel_id, id, name, takenAt: taken_at, addedAt: added_at, view: view as View }],
  )
}

/** When a camera took photos whose light is known, from one day to another (`2026-05-17`), in order. */
export async function listShots(
  db: Kysely<Tables>,
  camera: string,
  days: { from: string; to: string },
): Promise<{ takenAt: string; lightId: string }[]> {
  const rows = await db
    .selectFrom('photo')
    .select(['taken_at', 'light_id'])
    .where('camera', '=', camera)
    .where('taken_at', '>=', days.from)
    // every time of that day comes before this
    .where('taken_at', '<=', `${days.to}T~`)
    .where('light_id', 'is not', null)
    .where('deleted_at', 'is', null)
    .orderBy('taken_at')
    .execute()
  return rows.flatMap(({ taken_at, light_id }) =>
    taken_at === null || light_id === null ? [] : [{ takenAt: taken_at, lightId: light_id }],
  )
}

/** Photos that are not in the trash, by id, and the panels that they are filed to. */
export async function readNames(
  db: Kysely<Tables>,
  ids: readonly string[],
): Promise<Map<string, { name: string; filed: boolean; panelIds: string[] }>> {
  const rows = await db
    .selectFrom('photo')
    .select(['id', 'name', 'filed'])
    .where('id', 'in', among(ids))
    .where('deleted_at', 'is', null)
    .execute()
  const filings = await db
    .selectFrom('filing')
    .select(['photo_id', 'panel_id'])
    .where('photo_id', 'in', among(ids))
    .execute()
  const panels = Map.groupBy(filings, ({ photo_id }) => photo_id)
  return new Map(
    rows.map(({ id, name, filed }) => [
      id,
      { name, filed: filed === 1, panelIds: (panels.get(id) ?? []).flatMap(({ panel_id }) => panel_id ?? []) },
    ]),
  )
}

/** Newest calibration first, as `listSetups`, without what each of them taught. */
export async function listSetupsBriefly(db: Kysely<Tables>) {
  return db
    .selectFrom('setup')
    .select(['id', 'camera', 'light_id as lightId'])
    .where('deleted_at', 'is', null)
    .orderBy('calibrated_at', 'desc')
    .orderBy('id', 'desc')
    .execute()
}

/** Series of photo sheets whose colours are known. */
export async function readKnownSeries(db: Kysely<Tables>): Promise<Set<number>> {
  const rows = await db.selectFrom('known_sheet').select('series').distinct().where('deleted_at', 'is', null).execute()
  return new Set(rows.map(({ series }) => series))
}
