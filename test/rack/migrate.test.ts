import { copyFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { migrations } from '../../electron/rack/migrations/list.ts'
import type { Migration } from '../../electron/rack/opening/migrate.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { draft, dump, freshRack } from './fresh.ts'

const good: Migration = {
  name: 'adds a column',
  up: (run) => run("alter table panel add column shelf text not null default ''"),
}
const failing: Migration = {
  name: 'fails half way',
  up: async (run) => {
    await run('create table half_done (id text primary key not null) strict')
    await run('drop table tag')
    await run('insert into nowhere values (1)')
  },
}

async function rackOfVersion1() {
  const rack = await freshRack()
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  const before = await dump(rack)
  await rack.close()
  return { folder: rack.folder, before, version: migrations.length }
}

function look<T>(path: string, work: (raw: Database.Database) => T): T {
  const raw = new Database(path, { readonly: true })
  try {
    return work(raw)
  } finally {
    raw.close()
  }
}
const tablesOf = (raw: Database.Database) =>
  raw.prepare("select name from sqlite_schema where type = 'table'").pluck().all() as string[]

test('a step that fails leaves the rack at the last step that succeeded, with a whole backup beside it', async () => {
  const { folder, version } = await rackOfVersion1()
  await expect(openRack(folder, { migrations: [...migrations, good, failing] })).rejects.toThrow('nowhere')
  look(join(folder, 'rack.sqlite'), (raw) => {
    expect(raw.pragma('user_version', { simple: true })).toBe(version + 1)
    expect(tablesOf(raw)).toContain('tag')
    expect(tablesOf(raw)).not.toContain('half_done')
    expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
  })
  const backups = readdirSync(join(folder, 'backups')).filter((name) => name.endsWith('.sqlite'))
  expect(backups).toHaveLength(1)
  look(join(folder, 'backups', backups[0]!), (raw) => {
    expect(raw.pragma('user_version', { simple: true })).toBe(version)
    expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
    expect(raw.prepare('select title from panel').pluck().all()).toEqual(['Teal over gold'])
  })
  expect(readdirSync(folder)).not.toContain('lock')
})

test('after a first step that fails the program that knew the rack opens it as it was', async () => {
  const { folder, before } = await rackOfVersion1()
  await expect(openRack(folder, { migrations: [...migrations, failing] })).rejects.toThrow('nowhere')
  const rack = await openRack(folder)
  expect(await dump(rack)).toBe(before)
  await rack.close()
})

test('a backup that cannot be made stops the migrating before it begins', async () => {
  const { folder, before } = await rackOfVersion1()
  rmSync(join(folder, 'backups'), { recursive: true })
  // where the folder should be lies a file
  writeFileSync(join(folder, 'backups'), '')
  await expect(openRack(folder, { migrations: [...migrations, good] })).rejects.toThrow('EEXIST')
  rmSync(join(folder, 'backups'))
  const rack = await openRack(folder)
  expect(await dump(rack)).toBe(before)
  await rack.close()
})

test('a step that succeeds keeps every row, and older history can still be undone', async () => {
  const { folder, version } = await rackOfVersion1()
  const rack = await openRack(folder, { migrations: [...migrations, good] })
  expect(await rack.db.selectFrom('panel').select('title').execute()).toEqual([{ title: 'Teal over gold' }])
  await rack.undo()
  expect(await rack.db.selectFrom('panel').select('id').execute()).toEqual([])
  await rack.redo()
  await rack.close()
  look(join(folder, 'rack.sqlite'), (raw) => {
    expect(raw.pragma('user_version', { simple: true })).toBe(version + 1)
    expect(raw.prepare('select title, shelf from panel').all()).toEqual([{ title: 'Teal over gold', shelf: '' }])
  })
  // and is now too new for a program that does not know the step
  await expect(openRack(folder)).rejects.toMatchObject({ code: 'rack/newer' })
})

test('a rack that is up to date is opened without a backup', async () => {
  const { folder, before } = await rackOfVersion1()
  const rack = await openRack(folder)
  expect(await dump(rack)).toBe(before)
  await rack.close()
  expect(readdirSync(join(folder, 'backups'))).toEqual(['seal.json'])
})

test('a backup is a rack of its own: put in place of the database, everything is there', async () => {
  const rack = await freshRack()
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  const before = await dump(rack)
  const path = await rack.backUp('by-hand')
  const kept = readdirSync(join(rack.folder, 'backups')).filter((name) => name !== 'seal.json')
  expect(kept.toSorted()).toEqual([
    expect.stringMatching(/^rack-.*-by-hand\.sqlite$/),
    expect.stringMatching(/^rack-.*-by-hand\.sqlite\.json$/),
  ])
  const other = await freshRack()
  await other.close()
  copyFileSync(path, join(other.folder, 'rack.sqlite'))
  const restored = await openRack(other.folder)
  expect(await dump(restored)).toBe(before)
  await restored.close()
})
