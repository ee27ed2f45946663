import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { migrations } from '../../electron/rack/migrations/list.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { listPanels } from '../../electron/rack/queries/panel-list.ts'
import { readPanels } from '../../electron/rack/queries/panel-read.ts'
import { removePanel } from '../../electron/rack/queries/panels.ts'
import { orderPanels } from '../../electron/rack/queries/wall/order.ts'
import { saveSearch } from '../../electron/rack/queries/wall/saved-searches.ts'
import { noFilter, PanelSort } from '../../shared-core/records/panel.ts'
import { PanelGroup } from '../../shared-core/records/wall.ts'
import { dump, freshRack } from './fresh.ts'
import { type Sown, sow } from './random-panels.ts'

/** The step from version 4 to 5, on a rack that the fourth version made and filled. */

const versionFour = { migrations: migrations.slice(0, 4) }
const panels: Sown[] = Array.from({ length: 12 }, (_, i) => ({
  code: i,
  ground: i,
  candy: i * 3,
  day: i % 4,
  lab: i % 4 ? { l: 90 - i * 7, a: i * 9 - 40, b: 30 - i * 6 } : null,
  status: i,
  tags: i,
}))

async function rackOfVersion4() {
  const rack = await freshRack(versionFour)
  const ids = await sow(rack, panels)
  await rack.change({ label: 'remove' }, (change) => removePanel(change, ids[3] ?? ''))
  await rack.change({ label: 'rename' }, (change) => change.update('panel', ids[0] ?? '', { title: 'Damson dusk' }))
  await rack.undo()
  await rack.close()
  return { folder: rack.folder, ids }
}

const kept = ['panel', 'tag', 'layer', 'step', 'reading', 'material', 'mixture', 'mixture_part', 'change', 'change_row']
const rowsIn = (folder: string, file = 'rack.sqlite') => {
  const raw = new Database(join(folder, file), { readonly: true })
  try {
    return {
      version: raw.pragma('user_version', { simple: true }),
      rows: kept.map((table) => raw.prepare(`select * from ${table} order by 1, 2`).all()),
      health: raw.pragma('integrity_check', { simple: true }),
      broken: raw.pragma('foreign_key_check'),
    }
  } finally {
    raw.close()
  }
}

test('what version 4 kept is as it was, and a backup lies beside it', async () => {
  const { folder } = await rackOfVersion4()
  const before = rowsIn(folder)
  expect(before.version).toBe(4)
  await (await openRack(folder, { migrations: migrations.slice(0, 5) })).close()
  expect(rowsIn(folder)).toEqual({ ...before, version: 5, health: 'ok', broken: [] })
  const backups = readdirSync(join(folder, 'backups')).filter((name) => name.endsWith('.sqlite'))
  expect(backups).toEqual([expect.stringMatching(/-before-5\.sqlite$/)])
  expect(rowsIn(folder, join('backups', backups[0] ?? ''))).toEqual(before)
})

test('a rack of version 4 hangs and is found as one that was filled by version 5', async () => {
  const { folder, ids } = await rackOfVersion4()
  const old = await openRack(folder)
  const fresh = await freshRack()
  const freshIds = await sow(fresh, panels)
  await fresh.change({ label: 'remove' }, (change) => removePanel(change, freshIds[3] ?? ''))
  const placeOf = (all: readonly string[], found: readonly string[]) => found.map((id) => all.indexOf(id))
  for (const words of ['', 'Damson', 'damsn', 'boat', 'Panel 3', 'écru'])
    for (const sort of PanelSort.options)
      for (const group of PanelGroup.options) {
        const filter = { ...noFilter, words }
        const was = await orderPanels(old.db, filter, sort, group)
        const is = await orderPanels(fresh.db, filter, sort, group)
        expect({ ...was, ids: placeOf(ids, was.ids) }).toEqual({ ...is, ids: placeOf(freshIds, is.ids) })
      }
  const { total } = await orderPanels(old.db, noFilter, 'code', 'none')
  expect(total).toBe(panels.length - 1)
  await old.close()
})

test('the history of version 4 is redone and undone, and the order follows', async () => {
  const { folder, ids } = await rackOfVersion4()
  const rack = await openRack(folder)
  const before = await dump(rack)
  const found = async (words: string) =>
    (await listPanels(rack.db, { ...noFilter, words }, 'code')).panels.map(({ id }) => id)
  expect(await found('dusk')).toEqual([])
  await rack.redo()
  expect(await found('dusk')).toEqual([ids[0]])
  await rack.undo()
  // the removal, then all that was sown
  await rack.undo()
  expect(await found('Panel 3')).toContain(ids[3])
  await rack.undo()
  expect((await orderPanels(rack.db, noFilter, 'hue', 'hue')).ids).toEqual([])
  for (let i = 0; i < 2; i++) await rack.redo()
  expect(await dump(rack)).toBe(before)
  expect((await orderPanels(rack.db, noFilter, 'hue', 'hue')).ids).toHaveLength(panels.length - 1)
  await rack.close()
})

test('after an end between the step and the filling, the next opening fills', async () => {
  const { folder, ids } = await rackOfVersion4()
  await (await openRack(folder)).close()
  const raw = new Database(join(folder, 'rack.sqlite'))
  raw.exec('delete from panel_row; insert into panel_row_due select id from panel')
  raw.close()
  const rack = await openRack(folder)
  expect((await orderPanels(rack.db, noFilter, 'code', 'none')).total).toBe(panels.length - 1)
  expect(await readPanels(rack.db, ids.slice(0, 1))).toHaveLength(1)
  await rack.close()
})

test('a saved search has a name of its own, whatever the case', async () => {
  const { folder } = await rackOfVersion4()
  const rack = await openRack(folder)
  const save = (name: string) =>
    rack.change({ label: 'save' }, (change) =>
      saveSearch(change, { name, filter: noFilter, sort: 'hue', group: 'none' }, false),
    )
  await save('Blues')
  await expect(save('blues')).rejects.toMatchObject({ code: 'search/name-taken' })
  const row = { id: 'x', filter: '{}', sort: 'hue', grouping: 'none', created_at: '' }
  const put = (more: { name: string; filter?: string }) =>
    rack.change({ label: 'x' }, (change) => change.insert('saved_search', { ...row, ...more }))
  await expect(put({ name: 'BLUES' })).rejects.toThrow('UNIQUE')
  await expect(put({ name: '' })).rejects.toThrow('CHECK')
  await expect(put({ name: 'a', filter: 'no list' })).rejects.toThrow('CHECK')
  await rack.close()
})
