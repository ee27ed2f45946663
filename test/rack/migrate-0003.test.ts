import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { migrations } from '../../electron/rack/migrations/list.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { readPanel } from '../../electron/rack/queries/panel-read.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { findOrAddMaterial, listMaterials, setOnShelf } from '../../electron/rack/queries/shelf.ts'
import { draft, freshRack } from './fresh.ts'

/** The step from version 2 to 3, on a rack that the second version made and filled. */

const versionTwo = { migrations: migrations.slice(0, 2) }
const shelved = (name: string, kind: string) => ({
  id: `id of ${name}`,
  name,
  kind,
  maker_name: 'as its maker calls it',
  density_kg_per_l: 0.95,
  volume_solids_percent: null,
  cost_per_l: 12.5,
  batch: '24-118',
  data_sheet: '',
  notes: 'smells of almonds',
})

async function rackOfVersion2() {
  const rack = await freshRack(versionTwo)
  const panelId = await rack.change({ label: 'add panel' }, async (change) => {
    const rows = [
      shelved('clear carrier', 'carrier'),
      shelved('copper', 'concentrate'),
      shelved('crimson', 'concentrate'),
    ]
    for (const row of rows) await change.insert('material', row as never)
    return savePanel(change, draft())
  })
  await rack.change({ label: 'correct' }, (change) =>
    change.update('material', 'id of copper', { notes: 'smells of nothing' }),
  )
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
    }
  } finally {
    raw.close()
  }
}

test('materials of version 2 are all on the shelf, with everything else as it was, behind a backup', async () => {
  const { folder, panelId } = await rackOfVersion2()
  const before = rowsIn(folder)
  expect(before.version).toBe(2)
  const rack = await openRack(folder, { migrations: migrations.slice(0, 3) })
  expect((await listMaterials(rack.db)).map(({ name, onShelf }) => [name, onShelf])).toEqual([
    ['clear carrier', true],
    ['copper', true],
    ['crimson', true],
  ])
  expect((await readPanel(rack.db, panelId)).layers).toHaveLength(3)
  await rack.close()
  const after = rowsIn(folder)
  expect(after).toMatchObject({ version: 3, health: 'ok' })
  expect(after.materials).toEqual(before.materials.map((row) => ({ ...row, on_shelf: 1 })))
  const backups = readdirSync(join(folder, 'backups')).filter((name) => name.endsWith('.sqlite'))
  expect(backups).toEqual([expect.stringMatching(/-before-3\.sqlite$/)])
  expect(rowsIn(folder, join('backups', backups[0] ?? ''))).toEqual(before)
})

test('the history of version 2 is redone and undone, and the shelf is told and taken back', async () => {
  const { folder } = await rackOfVersion2()
  const rack = await openRack(folder)
  await rack.redo()
  expect((await listMaterials(rack.db)).map(({ notes }) => notes)).toContain('smells of nothing')
  const names = await rack.change({ label: 'off' }, (change) =>
    setOnShelf(change, ['id of copper', 'id of crimson', 'id of copper'], false),
  )
  expect(names).toEqual(['copper', 'crimson'])
  const shelf = async () => (await listMaterials(rack.db)).filter(({ onShelf }) => onShelf).map(({ name }) => name)
  expect(await shelf()).toEqual(['clear carrier'])
  // a formula that names it does not put it back
  await rack.change({ label: 'use' }, (change) =>
    findOrAddMaterial(change, { id: null, name: 'Copper', kind: 'concentrate' }),
  )
  expect(await shelf()).toEqual(['clear carrier'])
  await rack.undo()
  expect(await shelf()).toEqual(['clear carrier', 'copper', 'crimson'])
  // back to an empty rack and again to all of it
  await rack.undo()
  await rack.undo()
  expect(await shelf()).toEqual([])
  for (let i = 0; i < 3; i++) await rack.redo()
  expect(await shelf()).toEqual(['clear carrier'])
  await expect(
    rack.change({ label: 'x' }, (change) => setOnShelf(change, ['id of copper', 'nobody'], true)),
  ).rejects.toMatchObject({ code: 'material/absent' })
  expect(await shelf()).toEqual(['clear carrier'])
  await expect(
    rack.change({ label: 'x' }, (change) => change.update('material', 'id of copper', { on_shelf: 2 })),
  ).rejects.toThrow('CHECK')
  await rack.close()
})
