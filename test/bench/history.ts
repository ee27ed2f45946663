import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'kysely'
import { panelAt } from '../../electron/rack/history/past/panel-at.ts'
import { describeChange } from '../../electron/rack/history/tell/describe.ts'
import { createRack, type Rack } from '../../electron/rack/opening/open.ts'
import { listHistory } from '../../electron/rack/queries/history.ts'
import { readPanel } from '../../electron/rack/queries/panel-read.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addReading } from '../../electron/rack/queries/readings.ts'
import { typedReading } from '../../electron/service/typed-colour.ts'
import type { PanelDraft } from '../../shared-core/records/panel.ts'
import { candyMixture, layer } from '../rack/layers-typed.ts'

/**
 * `history [PANELS [OUT.json]]`: what years of work add to a rack (bytes for each kind of change, by the pages of the
 * database), and how long the history of one panel takes. Each panel is added, read five times, and changed four times.
 */
export async function run([count = '500', out]: string[]): Promise<void> {
  const panels = Number(count)
  if (!Number.isSafeInteger(panels) || panels < 1) {
    console.error('usage: npm run bench -- history [PANELS [OUT.json]]')
    process.exitCode = 2
    return
  }
  const folder = mkdtempSync(join(tmpdir(), 'overground-bench-'))
  try {
    const figures = await measure(folder, panels)
    for (const [name, value] of Object.entries(figures)) console.log(`${name.padEnd(34)} ${value}`)
    if (out !== undefined) writeFileSync(out, JSON.stringify(figures, null, 2))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

const draft = (i: number): PanelDraft => ({
  id: null,
  code: null,
  title: `Panel ${i} over gold`,
  status: 'sprayed',
  sprayedOn: '2031-05-17',
  sprayedBy: 'Wren',
  substrate: 'aluminium 100 × 150',
  notes: '',
  tags: ['teal', `row ${i % 20}`],
  layers: [
    layer('sealer', 'mid grey'),
    layer('ground', 'bright gold', { coats: 2 }),
    layer('candy', '', { coats: 4, mixture: candyMixture('copper', `candy ${i % 12}`) }),
    layer('clear', 'gloss clear', { coats: 2 }),
  ],
  steps: [0, 1, 2, 3, 4].map((coats) => ({ id: null, coats, notes: '' })),
})

async function measure(folder: string, panels: number): Promise<Record<string, number>> {
  const rack = await createRack(join(folder, 'rack'), 'Bench', { who: () => 'Wren' })
  const figures: Record<string, number> = {}
  const ids: string[] = []
  const grown = growth(rack, figures, panels)
  await grown('bytes for adding a panel', async (i) => {
    ids.push(await rack.change({ label: `add panel ${i}` }, (change) => savePanel(change, draft(i))))
  })
  await grown('bytes for five readings', async (i) => {
    const panel = await readPanel(rack.db, ids[i] ?? '')
    for (const { id } of panel.steps)
      await rack.change({ label: 'add a reading', panelId: panel.id }, (change) =>
        addReading(change, reading(id ?? '')),
      )
  })
  await grown('bytes for a new title', async (i) => alter(rack, ids[i], (old) => ({ ...old, title: 'another title' })))
  await grown('bytes for a new mixture', async (i) => alter(rack, ids[i], withMixture))
  await grown('bytes for two new tags', async (i) => alter(rack, ids[i], (old) => ({ ...old, tags: ['blue', 'boat'] })))
  await grown('bytes for a coat more', async (i) => alter(rack, ids[i], withCoat))
  await sql`pragma wal_checkpoint(truncate)`.execute(rack.db)
  const whole = statSync(join(folder, 'rack', 'rack.sqlite')).size
  const past = await pages(rack, history)
  Object.assign(figures, {
    'MB of the database': megabytes(whole),
    'MB of its history': megabytes(past),
    changes: Number(
      (
        await rack.db
          .selectFrom('change')
          .select((e) => e.fn.countAll().as('n'))
          .executeTakeFirstOrThrow()
      ).n,
    ),
  })
  const [first = ''] = ids
  const { entries } = await listHistory(rack.db, { panelId: first, limit: 100 })
  const changeId = entries.at(-1)?.id ?? ''
  figures['ms for the newest sixty'] = await millis(() => listHistory(rack.db, { limit: 60 }))
  figures['ms for one panel’s history'] = await millis(() => listHistory(rack.db, { panelId: first, limit: 60 }))
  figures['ms for a panel as it stood'] = await millis(() =>
    panelAt(rack.db, { panelId: first, changeId, keepLater: true }),
  )
  figures['ms for telling a change'] = await millis(() => describeChange(rack.db, changeId))
  await rack.close()
  return figures
}

const reading = (stepId: string) =>
  typedReading(
    {
      lab: { l: 41.3, a: -7.5, b: 12.1 },
      illuminant: 'D50',
      observer: '2',
      geometry: '45:0',
      bound90: 0.8,
      view: 'face',
      stage: 'dry',
      lightId: null,
    },
    { stepId },
  )

async function alter(rack: Rack, id: string | undefined, how: (old: PanelDraft) => PanelDraft): Promise<void> {
  const panel = await readPanel(rack.db, id ?? '')
  await rack.change({ label: 'change panel', panelId: panel.id }, (change) => savePanel(change, how(panel)))
}

const withMixture = (old: PanelDraft): PanelDraft => ({
  ...old,
  layers: old.layers.map((each) => ({ ...each, mixture: each.mixture && candyMixture('copper', 'crimson') })),
})
const withCoat = (old: PanelDraft): PanelDraft => ({
  ...old,
  layers: old.layers.map((each) => (each.kind === 'candy' ? { ...each, coats: each.coats + 1 } : each)),
})

/** What the history is kept in. */
const history = ['change', 'change_row', 'change_about'] as const

/** Bytes of these tables with their indexes, by pages. */
async function pages(rack: Rack, tables: readonly string[]): Promise<number> {
  const { rows } = await sql<{ bytes: number }>`select sum(pgsize) as bytes from dbstat where name in
    (select name from sqlite_schema where tbl_name in (${sql.join([...tables])}))`.execute(rack.db)
  return rows[0]?.bytes ?? 0
}

/** Does something for each panel, and says how much larger the history is for each afterwards. */
function growth(rack: Rack, figures: Record<string, number>, panels: number) {
  return async (name: string, work: (i: number) => Promise<unknown>): Promise<void> => {
    const before = await pages(rack, history)
    for (let i = 0; i < panels; i++) await work(i)
    figures[name] = Math.round(((await pages(rack, history)) - before) / panels)
  }
}

const megabytes = (bytes: number): number => Math.round(bytes / 100_000) / 10

async function millis(work: () => Promise<unknown>): Promise<number> {
  const began = performance.now()
  await work()
  return Math.round(performance.now() - began)
}
