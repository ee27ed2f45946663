import { copyFileSync, existsSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { v7 } from 'uuid'
import { addFunctions } from '../../electron/rack/opening/functions.ts'
import { createRack, type Rack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { takeInPhoto } from '../../electron/service/take-in.ts'
import { draft, photoFile } from './fresh.ts'

/** A rack that somebody has worked in for a while: panels, readings, edits, photos, an undo; its whole history. */
export async function workedRack(folder: string, panels = 12): Promise<Rack> {
  const rack = await createRack(folder, 'Worked', { who: () => 'Wren' })
  for (let i = 0; i < panels; i++) {
    const panelId = await rack.change({ label: 'make a panel' }, (change) =>
      savePanel(
        change,
        draft({ title: `Panel ${i} over gold`, notes: `note ${i} `.repeat(40), tags: [`tag ${i % 3}`] }),
      ),
    )
    const steps = await rack.db.selectFrom('step').select('id').where('panel_id', '=', panelId).execute()
    await rack.change({ label: 'read a step' }, async (change) => {
      for (const [s, { id }] of steps.entries()) await change.insert('reading', reading(id, 30 + i + 10 * s))
    })
  }
  const [first] = await rack.db.selectFrom('panel').selectAll().orderBy('code').execute()
  await rack.change({ label: 'rename a panel' }, (change) => change.update('panel', first!.id, { title: 'Renamed' }))
  await rack.change({ label: 'write a note' }, (change) => change.update('panel', first!.id, { notes: 'undone' }))
  await rack.undo()
  const pictures = join(folder, '..', 'pictures')
  mkdirSync(pictures, { recursive: true })
  for (let i = 0; i < 3; i++) {
    const name = `IMG_${i}.jpg`
    await takeInPhoto(rack, await photoFile(join(pictures, name), i + 1), name)
  }
  return rack
}

const reading = (stepId: string, l: number) => ({
  id: v7(),
  step_id: stepId,
  reference_id: null,
  photo_id: null,
  area_id: null,
  l,
  a: 12.5,
  b: -3.25,
  illuminant: 'D50',
  observer: '2',
  geometry: '45/0',
  level: 'typed',
  bound90: 1.5,
  parts: '[]',
  cautions: '[]',
  cut_key: null,
  light_id: null,
  view: 'face',
  stage: 'dry',
  age_days: null,
  taken_at: '2024-05-01T10:00:00.000Z',
  deleted_at: null,
  texture: null,
  setup_id: null,
  spectrum: null,
  instrument: null,
  bound_shared_photo: null,
  bound_shared_setup: null,
})

/** Every row of every table that is the painter's, as text. */
export function rowsOf(database: string): Record<string, string> {
  const raw = new Database(database, { readonly: true })
  try {
    const tables = raw
      .prepare("select name from sqlite_master where type = 'table' and sql not like '%virtual%' order by name")
      .pluck()
      .all() as string[]
    return Object.fromEntries(
      tables
        .filter((name) => !/^(sqlite_|panel_words|panel_row|panel_doc|file_check|check_run|check_left)/.test(name))
        .map((name) => [name, JSON.stringify(raw.prepare(`select * from "${name}" order by 1, 2`).all())]),
    )
  } finally {
    raw.close()
  }
}

/** Works on a closed rack's database as another program would. */
export function byHand(folder: string, work: (raw: Database.Database) => void): void {
  const raw = new Database(join(folder, 'rack.sqlite'))
  try {
    raw.pragma('foreign_keys = OFF')
    addFunctions(raw)
    work(raw)
    raw.pragma('wal_checkpoint(TRUNCATE)')
  } finally {
    raw.close()
  }
}

export function copyDatabase(from: string, to: string): void {
  for (const tail of ['', '-wal']) if (existsSync(from + tail)) copyFileSync(from + tail, to + tail)
}
