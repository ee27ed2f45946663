import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { migrations } from '../../electron/rack/migrations/list.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { listCups, startCup } from '../../electron/rack/queries/bench/cups.ts'
import { listCustomerJobs, saveCustomerJob } from '../../electron/rack/queries/bench/customer-jobs.ts'
import { readPanel } from '../../electron/rack/queries/panel-read.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { listMaterials } from '../../electron/rack/queries/shelf.ts'
import { draft, freshRack } from './fresh.ts'
import { candyMixture } from './layers-typed.ts'

/** The step from version 3 to 4, on a rack that the third version made and filled. */

const versionThree = { migrations: migrations.slice(0, 3) }
const shelved = (name: string, kind: string) => ({
  id: `id of ${name}`,
  name,
  kind,
  maker_name: '',
  density_kg_per_l: 0.95,
  volume_solids_percent: 30,
  cost_per_l: 12.5,
  batch: '24-118',
  data_sheet: 'folder on the wall',
  notes: '',
  on_shelf: kind === 'carrier' ? 0 : 1,
})

async function rackOfVersion3() {
  const rack = await freshRack(versionThree)
  const panelId = await rack.change({ label: 'add panel' }, async (change) => {
    for (const [name, kind] of [
      ['clear carrier', 'carrier'],
      ['copper', 'concentrate'],
      ['crimson', 'concentrate'],
    ] as const)
      await change.insert('material', shelved(name, kind) as never)
    return savePanel(change, draft())
  })
  await rack.change({ label: 'correct' }, (change) => change.update('material', 'id of copper', { batch: '25-001' }))
  await rack.undo()
  await rack.close()
  return { folder: rack.folder, panelId }
}

const rowsIn = (folder: string, file = 'rack.sqlite') => {
  const raw = new Database(join(folder, file), { readonly: true })
  try {
    return {
      version: raw.pragma('user_version', { simple: true }),
      materials: raw.prepare('select * from material order by id').all() as Record<string, unknown>[],
      health: raw.pragma('integrity_check', { simple: true }),
      broken: raw.pragma('foreign_key_check'),
    }
  } finally {
    raw.close()
  }
}

test('what version 3 kept is as it was, nothing is counted yet, and a backup lies beside it', async () => {
  const { folder, panelId } = await rackOfVersion3()
  const before = rowsIn(folder)
  expect(before.version).toBe(3)
  const rack = await openRack(folder, { migrations: migrations.slice(0, 4) })
  expect((await readPanel(rack.db, panelId)).layers).toHaveLength(3)
  const materials = await listMaterials(rack.db)
  expect(
    materials.map(({ name, onShelf, onHand, isocyanate, batch }) => [name, onShelf, onHand, isocyanate, batch]),
  ).toEqual([
    ['clear carrier', false, null, null, '24-118'],
    ['copper', true, null, null, '24-118'],
    ['crimson', true, null, null, '24-118'],
  ])
  expect(await listCustomerJobs(rack.db, false)).toEqual([])
  expect(await listCups(rack.db, { customerJobId: null, panelId: null })).toEqual([])
  await rack.close()
  const after = rowsIn(folder)
  expect(after).toMatchObject({ version: 4, health: 'ok', broken: [] })
  for (const [i, row] of before.materials.entries()) expect(after.materials[i]).toMatchObject(row)
  const backups = readdirSync(join(folder, 'backups')).filter((name) => name.endsWith('.sqlite'))
  expect(backups).toEqual([expect.stringMatching(/-before-4\.sqlite$/)])
  expect(rowsIn(folder, join('backups', backups[0] ?? ''))).toEqual(before)
})

test('the history of version 3 is redone and undone among jobs and cups of version 4', async () => {
  const { folder, panelId } = await rackOfVersion3()
  const rack = await openRack(folder)
  await rack.redo()
  const batchOf = async () => (await listMaterials(rack.db)).find(({ name }) => name === 'copper')?.batch
  expect(await batchOf()).toBe('25-001')
  const job = await rack.change({ label: 'job' }, (change) =>
    saveCustomerJob(change, {
      id: null,
      code: null,
      title: 'Tank',
      customer: '',
      status: 'open',
      referenceId: null,
      candidates: [],
      formula: null,
      parts: [],
      tolerance: 1.5,
      checks: [],
      decisions: [],
      dueOn: null,
      notes: '',
    }),
  )
  expect(job.code).toBe('J-0001')
  const cup = await rack.change({ label: 'cup' }, (change) =>
    startCup(change, {
      title: 'Tank',
      mixture: candyMixture('copper', 'crimson'),
      target: { basis: 'volume', amount: 210, words: '' },
      measure: { by: 'volume', step: 1, dropMl: null },
      cupMl: null,
      tipMm: null,
      customerJobId: job.id,
      panelId,
    }),
  )
  expect(cup.code).toBe('C-0001')
  // what it names cannot go from under it
  await expect(rack.change({ label: 'x' }, (change) => change.remove('customer_job', job.id))).rejects.toThrow(
    'FOREIGN KEY',
  )
  await expect(rack.change({ label: 'x' }, (change) => change.remove('material', 'id of copper'))).rejects.toThrow(
    'FOREIGN KEY',
  )
  for (let i = 0; i < 4; i++) await rack.undo()
  expect(await listMaterials(rack.db)).toEqual([])
  for (let i = 0; i < 4; i++) await rack.redo()
  expect(await listCups(rack.db, { customerJobId: job.id, panelId: null })).toEqual([cup])
  expect(await listCustomerJobs(rack.db, true)).toEqual([job])
  expect(await batchOf()).toBe('25-001')
  await rack.close()
})

test.each([
  ['a tolerance of nothing', 'customer_job', { tolerance: 0 }],
  ['a state that there is not', 'customer_job', { status: 'lost' }],
  ['what is no list', 'customer_job', { parts: 'none' }],
  ['less than nothing on hand', 'material', { on_hand: -1 }],
  ['a grain of nothing', 'material', { flake_micron: 0 }],
] as const)('refuses %s', async (_what, table, values) => {
  const { folder } = await rackOfVersion3()
  const rack = await openRack(folder)
  const id = await rack.change({ label: 'job' }, async (change) => {
    if (table === 'material') return 'id of copper'
    const row = {
      id: 'job',
      code: 'J-1',
      title: 'Tank',
      customer: '',
      status: 'open',
      reference_id: null,
      tolerance: 1,
      due_on: null,
      candidates: '[]',
      formula: null,
      parts: '[]',
      checks: '[]',
      decisions: '[]',
      notes: '',
      created_at: '2026-01-01',
      deleted_at: null,
    }
    await change.insert('customer_job', row)
    return 'job'
  })
  await expect(rack.change({ label: 'x' }, (change) => change.update(table, id, values as never))).rejects.toThrow(
    'CHECK',
  )
  await rack.close()
})
