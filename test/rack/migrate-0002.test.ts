import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { CompiledQuery } from 'kysely'
import { expect, test } from 'vitest'
import type { Changing } from '../../electron/rack/history/change.ts'
import { migrations } from '../../electron/rack/migrations/list.ts'
import type { Migration } from '../../electron/rack/opening/migrate.ts'
import { openRack, type Rack } from '../../electron/rack/opening/open.ts'
import { readPanel } from '../../electron/rack/queries/panel-read.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { readPhotoRecord } from '../../electron/rack/queries/photos.ts'
import { getReading, listCandidates } from '../../electron/rack/queries/readings.ts'
import type { TrackedTable } from '../../electron/rack/tables.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { draft, freshRack } from './fresh.ts'

/** The step from version 1 to 2, on racks that the first version made and filled. */

const [first, second] = migrations as [Migration, Migration]
const upToTwo = { migrations: [first, second] }
const photoCount = 40

/** Rows as version 1 wrote them, with no column of a later one. */
const put = (change: Changing, table: string, row: Record<string, string | number | null>) =>
  change.insert(table as TrackedTable, row as never)

const photoRow = (i: number, lightId: string) => ({
  id: `photo-${i}`,
  sha256: i.toString(16).padStart(64, '0'),
  name: `IMG_${i}.jpg`,
  format: (['jpeg', 'png', 'tiff', 'webp', 'avif'] as const)[i % 5] ?? 'jpeg',
  width: 4000 + i,
  height: 3000,
  byte_count: 5_000_000_000 + i,
  bits: i % 2 ? 8 : 16,
  profile: 'Display P3',
  profile_assumed: i % 2,
  taken_at: i % 3 ? '2024-05-01T10:00:00+02:00' : null,
  camera: i % 3 ? 'Ember 5' : null,
  exposure_s: 1 / 3,
  f_number: 1.8,
  iso: 64,
  light_id: i % 4 ? lightId : null,
  view: 'face',
  stage: 'dry',
  filed: i % 2,
  laid_out_at: i % 2 ? '2024-05-02T10:00:00.000Z' : null,
  cautions: '[]',
  added_at: '2024-05-01T10:00:00.000Z',
  deleted_at: i % 7 ? null : '2024-05-03T10:00:00.000Z',
})

/** Those of the draft: today's program would put them on the shelf with columns that version 1 had not. */
const materials = [
  ['clear carrier', 'carrier'],
  ['copper', 'concentrate'],
  ['crimson', 'concentrate'],
] as const
const unsaid = {
  maker_name: '',
  density_kg_per_l: null,
  volume_solids_percent: null,
  cost_per_l: null,
  batch: '',
  data_sheet: '',
  notes: '',
}

const quad = '[[0,0],[10,0],[10,10],[0,10]]'

/** A panel, photos with cards, areas, filings and readings, an intake, and a photo that was undone: all by version 1. */
async function rackOfVersion1() {
  const rack = await freshRack({ migrations: [first] })
  const panelId = await rack.change({ label: 'add panel' }, async (change) => {
    for (const [id, kind] of materials) await put(change, 'material', { ...unsaid, id, name: id, kind })
    return savePanel(change, draft())
  })
  const stepId = (await readPanel(rack.db, panelId)).steps[0]?.id ?? ''
  const { id: lightId } = await rack.db.selectFrom('light').select('id').limit(1).executeTakeFirstOrThrow()
  await rack.change({ label: 'file photos', panelId }, async (change) => {
    for (let i = 0; i < photoCount; i++) {
      const photo_id = `photo-${i}`
      await put(change, 'photo', photoRow(i, lightId))
      await put(change, 'card', { id: `card-${i}`, photo_id, quad, l: 50 + i / 3, a: 0, b: 0 })
      const area = { id: `area-${i}`, photo_id, position: 0, step_id: stepId, kind: 'quad', points: quad, radius: null }
      await put(change, 'area', { ...area, cut_key: i.toString(16).padStart(32, '0') })
      const filed_at = '2024-05-02T10:00:00.000Z'
      await put(change, 'filing', { id: `filing-${i}`, photo_id, panel_id: panelId, reference_id: null, filed_at })
      await put(change, 'reading', {
        id: `reading-${i}`,
        step_id: stepId,
        reference_id: null,
        photo_id,
        area_id: `area-${i}`,
        l: 40 + i / 7,
        a: -i / 3,
        b: i / 11,
        illuminant: 'D50',
        observer: '2',
        geometry: 'photo',
        level: 'card',
        bound90: 5,
        parts: '[{"cause":"camera","de00":5,"words":"card only"}]',
        cautions: '[]',
        cut_key: null,
        light_id: lightId,
        view: 'face',
        stage: 'dry',
        age_days: 3,
        taken_at: '2024-05-01T10:00:00.000Z',
        deleted_at: null,
      })
    }
  })
  await rack.change({ label: 'discard a photo' }, (change) => change.remove('reading', 'reading-1'))
  await rack.change({ label: 'take in one more' }, (change) => put(change, 'photo', photoRow(photoCount, lightId)))
  await rack.undo()
  await rack.db.insertInto('intake').values({ id: 'intake', created_at: '2024-05-04T10:00:00.000Z' }).execute()
  await rack.db.executeQuery(
    CompiledQuery.raw(`insert into intake_file (intake_id, position, path, name, state, tries, photo_id)
      values ('intake', 0, 'a.jpg', 'a.jpg', 'working', 1, 'photo-3')`),
  )
  await rack.close()
  return { folder: rack.folder, panelId, stepId }
}

type Rows = Record<string, unknown[]>

function look<T>(path: string, work: (raw: Database.Database) => T): T {
  const raw = new Database(path, { readonly: true })
  try {
    return work(raw)
  } finally {
    raw.close()
  }
}

const databaseOf = (folder: string) => join(folder, 'rack.sqlite')

/** Every row of every table of version 1, search index included; of a wider table only what version 1 knew. */
function everyRow(raw: Database.Database, columns?: Record<string, string[]>): Rows {
  const names = columns ? Object.keys(columns) : tablesOf(raw)
  return Object.fromEntries(
    names.map((name) => {
      const list = columns?.[name]?.map((column) => `"${column}"`).join(', ') ?? '*'
      const rows = raw.prepare(`select ${list} from "${name}"`).all()
      return [name, rows.toSorted((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1))]
    }),
  )
}
const tablesOf = (raw: Database.Database) =>
  raw
    .prepare("select name from sqlite_schema where type = 'table' and name not like 'sqlite_%'")
    .pluck()
    .all() as string[]
const columnsOf = (raw: Database.Database) =>
  Object.fromEntries(
    tablesOf(raw).map((name) => [
      name,
      raw.prepare('select name from pragma_table_xinfo(?) where hidden = 0').pluck().all(name) as string[],
    ]),
  )
const partsOf = (raw: Database.Database) =>
  raw.prepare("select type, name, tbl_name from sqlite_schema where type in ('index', 'trigger') order by 1, 2").all()

const referencesAreHeeded = async (rack: Rack) =>
  (await rack.db.executeQuery<{ foreign_keys: number }>(CompiledQuery.raw('pragma foreign_keys'))).rows[0]?.foreign_keys

test('a rack of version 1 keeps every row, index, trigger and search word, behind a backup of version 1', async () => {
  const { folder } = await rackOfVersion1()
  const before = look(databaseOf(folder), (raw) => ({
    rows: everyRow(raw),
    columns: columnsOf(raw),
    parts: partsOf(raw),
  }))
  expect(before.rows.photo).toHaveLength(photoCount)
  const rack = await openRack(folder, upToTwo)
  expect(await referencesAreHeeded(rack)).toBe(1)
  await rack.close()
  look(databaseOf(folder), (raw) => {
    expect(raw.pragma('user_version', { simple: true })).toBe(2)
    expect(everyRow(raw, before.columns)).toEqual(before.rows)
    expect(partsOf(raw)).toEqual(expect.arrayContaining(before.parts))
    expect(tablesOf(raw)).not.toContain('photo_anew')
    expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
    expect(raw.pragma('foreign_key_check')).toEqual([])
    // whoever refers to photos still refers to the table of that name
    for (const name of ['card', 'area', 'filing', 'reading', 'intake_file', 'setup', 'tile', 'chart', 'photo'])
      expect(raw.pragma(`foreign_key_list(${name})`)).toEqual(
        expect.arrayContaining([expect.objectContaining({ table: 'photo' })]),
      )
    expect(raw.prepare("select count(*) from panel_words where panel_words match 'teal'").pluck().get()).toBe(1)
  })
  const backups = readdirSync(join(folder, 'backups')).filter((name) => name.endsWith('.sqlite'))
  expect(backups).toEqual([expect.stringMatching(/-before-2\.sqlite$/)])
  look(join(folder, 'backups', backups[0] ?? ''), (raw) => {
    expect(raw.pragma('user_version', { simple: true })).toBe(1)
    expect(everyRow(raw)).toEqual(before.rows)
  })
})

test('what version 1 kept is read as before, and the history of version 1 can be undone and redone', async () => {
  const { folder, panelId } = await rackOfVersion1()
  // read as a program reads it: brought to the newest form
  const rack = await openRack(folder)
  expect(await readPhotoRecord(rack.db, 'photo-2')).toMatchObject({
    format: 'tiff',
    byteCount: 5_000_000_002,
    exposure: { exposureS: 1 / 3 },
    setupId: null,
    flatPhotoId: null,
    layout: { card: { lab: { l: 50 + 2 / 3 } } },
  })
  expect(await getReading(rack.db, 'reading-2')).toMatchObject({ level: 'card', setupId: null, texture: null })
  const [candidate] = await listCandidates(rack.db, noFilter, { view: null, lightId: null })
  expect(candidate?.reading).toMatchObject({ setupId: null, sharedPhoto: null, sharedSetup: null })
  const full = look(databaseOf(folder), (raw) => everyRow(raw))
  await rack.redo()
  expect((await readPhotoRecord(rack.db, `photo-${photoCount}`)).setupId).toBeNull()
  for (let i = 0; i < 3; i++) await rack.undo()
  expect(await rack.db.selectFrom('photo').select('id').execute()).toEqual([])
  expect(await rack.db.selectFrom('reading').select('id').execute()).toEqual([])
  for (let i = 0; i < 2; i++) await rack.redo()
  // the intake's own row named a photo that was gone for a while
  const { change: _, rack_info: __, intake_file: ___, ...again } = look(databaseOf(folder), (raw) => everyRow(raw))
  expect(full).toMatchObject(again)
  await rack.change({ label: 'retire', panelId }, (change) => change.update('panel', panelId, { status: 'retired' }))
  await rack.close()
})

test('formats that version 1 refused are accepted, others still are not, and references hold', async () => {
  const { folder } = await rackOfVersion1()
  const rack = await openRack(folder, upToTwo)
  const set = (format: string) =>
    rack.change({ label: format }, (change) => change.update('photo', 'photo-0', { format }))
  await set('heic')
  await set('dng')
  await expect(set('gif')).rejects.toThrow('CHECK')
  await expect(rack.change({ label: 'x' }, (change) => change.remove('photo', 'photo-1'))).rejects.toThrow(
    'FOREIGN KEY',
  )
  const loose = rack.change({ label: 'x' }, (change) => change.update('photo', 'photo-0', { flat_photo_id: 'none' }))
  await expect(loose).rejects.toThrow('FOREIGN KEY')
  await rack.close()
})

/** The step cut short after so many of its statements, as a full drive or a bug would. */
const cutShort = (after: number): Migration => ({
  ...second,
  up: async (run) => {
    let left = after
    await second.up(async (statement, parameters) => {
      if (left-- === 0) throw new Error('power cut')
      await run(statement, parameters)
    })
  },
})

test('opening a rack whose step fails half way leaves version 1 whole', async () => {
  const { folder } = await rackOfVersion1()
  const before = look(databaseOf(folder), (raw) => ({
    rows: everyRow(raw),
    parts: partsOf(raw),
    columns: columnsOf(raw),
  }))
  let statements = 0
  await second.up(() => Promise.resolve(void statements++))
  // every place is tried in released-racks.test.ts, without the opening around it
  for (const after of [0, Math.floor(statements / 2), statements - 1]) {
    await expect(openRack(folder, { migrations: [first, cutShort(after)] })).rejects.toThrow('power cut')
    look(databaseOf(folder), (raw) => {
      expect(raw.pragma('user_version', { simple: true })).toBe(1)
      expect({ rows: everyRow(raw), parts: partsOf(raw), columns: columnsOf(raw) }).toEqual(before)
      expect(raw.pragma('foreign_key_check')).toEqual([])
    })
  }
  const rack = await openRack(folder, upToTwo)
  expect(await referencesAreHeeded(rack)).toBe(1)
  await rack.close()
})

test('a step that would leave a row without what it names is not kept', async () => {
  const { folder } = await rackOfVersion1()
  const forgetful: Migration = {
    ...second,
    up: async (run) => {
      await second.up(run)
      await run("delete from photo where id = 'photo-5'")
    },
  }
  const before = look(databaseOf(folder), (raw) => everyRow(raw))
  await expect(openRack(folder, { migrations: [first, forgetful] })).rejects.toThrow('loose rows')
  look(databaseOf(folder), (raw) => expect(everyRow(raw)).toEqual(before))
})
