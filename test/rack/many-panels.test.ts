import { join } from 'node:path'
import type Database from 'better-sqlite3'
import type { Kysely } from 'kysely'
import { beforeAll, expect, onTestFinished, test } from 'vitest'
import { builder, connect } from '../../electron/rack/opening/connection.ts'
import { createRack } from '../../electron/rack/opening/open.ts'
import { readFilmRack } from '../../electron/rack/queries/film-observations.ts'
import { listHistory } from '../../electron/rack/queries/history.ts'
import { proposedLayout, readLayouts } from '../../electron/rack/queries/layouts.ts'
import { listWords } from '../../electron/rack/queries/panel-filter.ts'
import { listPanels } from '../../electron/rack/queries/panel-list.ts'
import { findPanel, readPanels } from '../../electron/rack/queries/panel-read.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { listPanelPhotos, listTray, photoBySha } from '../../electron/rack/queries/photos.ts'
import { describeRack, nextCode } from '../../electron/rack/queries/rack-info.ts'
import { addReading, listCandidates, listPanelReadings } from '../../electron/rack/queries/readings.ts'
import { proposedSetupId } from '../../electron/rack/queries/setups.ts'
import { listFlatIds } from '../../electron/rack/queries/tray.ts'
import { type Tables, trackedTables } from '../../electron/rack/tables.ts'
import { typedReading } from '../../electron/service/typed-colour.ts'
import { noFilter, type PanelFilter } from '../../shared-core/records/panel.ts'
import { draft, workFolder } from './fresh.ts'
import { candyMixture, layer } from './layers-typed.ts'

const count = 2000
const folder = workFolder()

beforeAll(async () => {
  const rack = await createRack(join(folder, 'rack'), 'Many panels')
  await rack.change({ label: 'fill' }, async (change) => {
    for (let i = 0; i < count; i++) {
      const candy = layer('candy', '', { coats: 4, mixture: candyMixture(`dye ${i % 11}`, `dye ${i % 13}`) })
      const id = await savePanel(
        change,
        draft({
          title: `Panel ${i}`,
          tags: [`tag ${i % 7}`],
          layers: [layer('ground', `ground ${i % 5}`), candy, layer('clear', 'gloss', { coats: i % 2 })],
        }),
      )
      const steps = await change.db.selectFrom('step').select('id').where('panel_id', '=', id).execute()
      for (const step of steps) await addReading(change, typedReading(typed(i), { stepId: step.id }))
    }
  })
  await rack.close()
}, 60_000)

const typed = (i: number) => ({
  lab: { l: i % 100, a: i % 50, b: (i % 30) - 40 },
  illuminant: 'D50' as const,
  observer: '2' as const,
  geometry: '45:0' as const,
  bound90: 1,
  view: 'face' as const,
  stage: 'dry' as const,
  lightId: null,
})

/** The rack's database, and every statement that was carried out on it. */
function watched() {
  const raw = connect(join(folder, 'rack', 'rack.sqlite'))
  onTestFinished(() => void raw.close())
  const statements: string[] = []
  const watching = Object.create(raw, {
    open: { get: () => raw.open },
    inTransaction: { get: () => raw.inTransaction },
    prepare: {
      value: (text: string) => {
        const statement = raw.prepare(text)
        const carryOut = (how: 'all' | 'run') => (parameters: unknown[]) => {
          statements.push(text)
          return statement[how](parameters)
        }
        return { reader: statement.reader, all: carryOut('all'), run: carryOut('run') }
      },
    },
  }) as Database.Database
  return { raw, statements, db: builder(watching) }
}

const filters: Array<Partial<PanelFilter>> = [
  {},
  { words: 'dye ground 3' },
  { grounds: ['ground 1'], candies: ['dye 3'], tags: ['tag 1'], cleared: true, status: 'sprayed' },
]

test.each(filters)('a list of any length takes the same few queries: %o', async (filter) => {
  const { db, statements } = watched()
  const { panels, total } = await listPanels(db, { ...noFilter, ...filter }, 'hue')
  expect(total).toBe(count)
  expect(panels.length).toBeGreaterThan(1)
  const forMany = statements.length
  const typedWords = filter.words?.split(' ').length ?? 0
  expect(forMany).toBeLessThan(10 + typedWords)
  statements.length = 0
  const none = await listPanels(db, { ...noFilter, ...filter, words: '"nosuchword"' }, 'hue')
  expect(none.panels).toEqual([])
  expect(statements.length).toBeLessThanOrEqual(forMany)
})

test('what is shown of two thousand panels is right', async () => {
  const { db } = watched()
  const { panels } = await listPanels(db, noFilter, 'code')
  expect(panels).toHaveLength(count)
  for (const i of [0, 1, 777, 1999])
    expect(panels[i]).toMatchObject({
      code: `P-${String(i + 1).padStart(4, '0')}`,
      title: `Panel ${i}`,
      ground: `ground ${i % 5}`,
      candies: [...new Set([`dye ${i % 11}`, `dye ${i % 13}`])],
      cleared: i % 2 === 1,
      tags: [`tag ${i % 7}`],
      bands: [{ coats: 2 }, { coats: 4, lab: typed(i).lab }],
    })
  const narrowed = await listPanels(db, { ...noFilter, grounds: ['ground 1'], tags: ['tag 1'], cleared: true }, 'code')
  const expected = Array.from({ length: count }, (_, i) => i).filter((i) => i % 5 === 1 && i % 7 === 1 && i % 2 === 1)
  expect(narrowed.panels.map((panel) => panel.title)).toEqual(expected.map((i) => `Panel ${i}`))
})

test('the film model gets all of two thousand panels with a handful of queries', async () => {
  const { db, statements } = watched()
  const { library, steps, leftOut } = await readFilmRack(db)
  expect(statements.length).toBeLessThan(12)
  expect(steps).toHaveLength(2 * count)
  expect(library.observations).toHaveLength(2 * count)
  expect(leftOut).toEqual([])
})

const growing = [...trackedTables, 'change', 'change_row', 'intake_file', 'panel_doc'].filter(
  (table) => table !== 'light',
)

/**
 * Statements that read a growing table from end to end.
 * @param how  `whole` also counts one that does so along an index, which is right where the answer is about everything
 */
async function scans(how: 'whole' | 'without index', ask: (db: Kysely<Tables>) => Promise<unknown>): Promise<string[]> {
  const { db, raw, statements } = watched()
  await ask(db)
  return [...new Set(statements)].flatMap((text) => {
    const bound = Array<null>(text.split('?').length - 1).fill(null)
    const plan = raw.prepare(`explain query plan ${text}`).all(bound) as Array<{ detail: string }>
    // SQLite, "EXPLAIN QUERY PLAN", section 1.1
    const scan = how === 'whole' ? /^SCAN (\w+)( USING (COVERING )?INDEX \w+)?$/ : /^SCAN (\w+)$/
    return plan.flatMap(({ detail }) => {
      const table = scan.exec(detail)?.[1]
      return table && growing.includes(table) ? [`${detail}: ${text}`] : []
    })
  })
}

test('what is about one panel, photo or reading is found by an index', async () => {
  const found: string[] = []
  const ask = async (work: (db: Kysely<Tables>) => Promise<unknown>) => found.push(...(await scans('whole', work)))
  await ask((db) => findPanel(db, 'p-0500'))
  await ask(async (db) => readPanels(db, [await findPanel(db, 'P-0500')]))
  await ask(async (db) => listPanelReadings(db, await findPanel(db, 'P-0500')))
  await ask(async (db) => listPanelPhotos(db, await findPanel(db, 'P-0500')))
  await ask(async (db) => listHistory(db, { panelId: await findPanel(db, 'P-0500'), limit: 20 }))
  await ask((db) => photoBySha(db, '0'.repeat(64)))
  await ask((db) => nextCode(db))
  const photo = { id: 'a', width: 4000, height: 3000, exposure: { camera: 'Ember 5' } }
  await ask((db) => proposedLayout(db, photo))
  await ask((db) => proposedSetupId(db, { ...photo, lightId: null }))
  await ask((db) => proposedSetupId(db, { ...photo, lightId: 'some light' }))
  await ask((db) => readLayouts(db, ['a']))
  expect(found).toEqual([])
})

test('what is narrowed, sorted or counted goes along an index', async () => {
  const found: string[] = []
  const ask = async (work: (db: Kysely<Tables>) => Promise<unknown>) =>
    found.push(...(await scans('without index', work)))
  for (const filter of filters) await ask((db) => listPanels(db, { ...noFilter, ...filter }, 'code'))
  await ask((db) => listCandidates(db, { ...noFilter, grounds: ['ground 1'] }, { view: 'face', lightId: null }))
  await ask((db) => listTray(db))
  await ask((db) => listFlatIds(db, { id: 'a', width: 4, height: 3, camera: 'Ember 5', takenAt: '2024-05-01' }))
  await ask((db) => listHistory(db, { limit: 20 }))
  await ask((db) => describeRack(db, folder))
  await ask((db) => listWords(db))
  expect(found).toEqual([])
  // the check can fail: notes have no index
  const unindexed = await scans('without index', (db) =>
    db.selectFrom('panel').select('id').where('notes', '=', '').execute(),
  )
  expect(unindexed).toHaveLength(1)
})
