import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test, vi } from 'vitest'
import { listBackups } from '../../electron/rack/backups/list.ts'
import { proveBackup } from '../../electron/rack/backups/prove.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { draft, dump, freshRack } from './fresh.ts'

// processes and threads start slowly on a machine that is busy with other tests
vi.setConfig({ testTimeout: 120_000 })

/** Copies of the records: proven when they are made, and found when a disk alters them afterwards. */

async function filledRack() {
  const rack = await freshRack()
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  return rack
}
/** What lies there besides the seal of the rack's own database. */
const backupFiles = (folder: string) => readdirSync(join(folder, 'backups')).filter((name) => name !== 'seal.json')
const flip = (path: string, at: number) => {
  const bytes = readFileSync(path)
  bytes[at]! ^= 1
  writeFileSync(path, bytes)
}

test('a backup says what it holds, opens by itself, and nothing lies beside it but its facts', async () => {
  const rack = await filledRack()
  const path = await rack.backUp('by-hand')
  const facts = await proveBackup(path)
  expect(facts).toMatchObject({
    why: 'by-hand',
    rackId: rack.rackId,
    rackName: 'Test rack',
    counts: { panels: 1, readings: 0, photos: 0, jobs: 0 },
    byteCount: statSync(path).size,
  })
  // counted by SQLite itself
  const copy = new Database(path, { readonly: true })
  expect(copy.pragma('journal_mode', { simple: true })).toBe('delete')
  for (const [table, count] of Object.entries(facts.rows))
    expect([table, copy.prepare(`select count(*) from "${table}"`).pluck().get()]).toEqual([table, count])
  copy.close()
  expect(facts.rows).toMatchObject({ panel: 1, layer: 3, step: 2, change: 1 })
  const [file] = backupFiles(rack.folder).toSorted()
  expect(backupFiles(rack.folder).toSorted()).toEqual([file, `${file}.json`])
})

test('what is written while a backup is made is not in it, and harms it not', async () => {
  const rack = await filledRack()
  const many = Array.from({ length: 12 }, (_, i) => `more ${i}`)
  const [path] = await Promise.all([
    rack.backUp('by-hand'),
    ...many.map((title) => rack.change({ label: title }, (change) => savePanel(change, draft({ title })))),
  ])
  const facts = await proveBackup(path)
  const copy = new Database(path, { readonly: true })
  // one moment: as many panels as changes, and the count of changes that was reached
  expect(copy.prepare('select count(*) from panel').pluck().get()).toBe(facts.rows.change)
  expect(copy.prepare('select revision from rack_info').pluck().get()).toBe(facts.revision)
  copy.close()
  expect(facts.rows.panel).toBeLessThanOrEqual(13)
})

test.each([40, -1])('a byte that is turned later (%i) is found', async (at) => {
  const rack = await filledRack()
  const path = await rack.backUp('daily')
  expect((await listBackups(rack.folder))[0]?.state).toBe('whole')
  flip(path, at < 0 ? statSync(path).size + at : at)
  expect((await listBackups(rack.folder))[0]?.state).toBe('damaged')
  await expect(proveBackup(path)).rejects.toMatchObject({ code: 'backup/damaged' })
})

test('a cut, an emptied and a foreign file are shown as damaged at once', async () => {
  const rack = await filledRack()
  const path = await rack.backUp('daily')
  const whole = readFileSync(path)
  for (const bytes of [whole.subarray(0, whole.length - 4096), Buffer.alloc(0), Buffer.from('not a database')]) {
    writeFileSync(path, bytes)
    expect((await listBackups(rack.folder, 'quick'))[0]?.state).toBe('damaged')
  }
})

test('one without facts, as earlier versions made them, is looked through and stays unproven', async () => {
  const rack = await filledRack()
  const path = await rack.backUp('before-5')
  rmSync(`${path}.json`)
  const [listed] = await listBackups(rack.folder)
  expect(listed).toMatchObject({ state: 'unproven', kind: 'before-migration', facts: { counts: { panels: 1 } } })
  flip(path, 24_000)
  // within a word: only a checksum would tell
  const [again] = await listBackups(rack.folder)
  expect(['unproven', 'damaged']).toContain(again?.state)
})

test('newest first, with what a person put there; a missing folder is said, an empty one is empty', async () => {
  const rack = await filledRack()
  expect(await listBackups(rack.folder)).toEqual([])
  const first = await rack.backUp('daily')
  const second = await rack.backUp('by-hand')
  copyFileSync(second, join(rack.folder, 'backups', 'before the flood.sqlite'))
  const listed = await listBackups(rack.folder)
  expect(listed.map(({ kind }) => kind).toSorted()).toEqual(['by-hand', 'daily', 'other'])
  expect(listed.findIndex(({ kind }) => kind === 'daily')).toBeGreaterThan(
    listed.findIndex(({ kind }) => kind === 'by-hand'),
  )
  expect(existsSync(first)).toBe(true)
  await expect(listBackups(join(rack.folder, 'nowhere'))).rejects.toMatchObject({ code: 'rack/folder-absent' })
})

test('a rack whose records are damaged gives no backup, says so, and leaves nothing half done', async () => {
  const rack = await filledRack()
  for (let i = 0; i < 30; i++)
    await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title: `${i}` })))
  await rack.close()
  const raw = new Database(join(rack.folder, 'rack.sqlite'))
  const page = Number(raw.prepare("select rootpage from sqlite_schema where name = 'layer'").pluck().get())
  const size = Number(raw.pragma('page_size', { simple: true }))
  raw.pragma('journal_mode = delete')
  raw.close()
  const bytes = readFileSync(join(rack.folder, 'rack.sqlite'))
  bytes.fill(0xff, (page - 1) * size + 8, (page - 1) * size + 400)
  writeFileSync(join(rack.folder, 'rack.sqlite'), bytes)
  const { backUpFile } = await import('../../electron/rack/backups/backup.ts')
  await expect(backUpFile(rack.folder, 'daily')).rejects.toMatchObject({ code: 'rack/damaged' })
  expect(backupFiles(rack.folder)).toEqual([])
})

test('a backup that is stopped leaves nothing behind, and the rack works on', async () => {
  const rack = await filledRack()
  const { backUp } = await import('../../electron/rack/backups/backup.ts')
  const stop = new AbortController()
  const stopped = backUp(rack.db, rack.folder, 'by-hand', { signal: stop.signal, onProgress: () => stop.abort() })
  await expect(stopped).rejects.toMatchObject({ name: 'AbortError' })
  expect(backupFiles(rack.folder)).toEqual([])
  const before = await dump(rack)
  await rack.close()
  const again = await openRack(rack.folder)
  expect(await dump(again)).toBe(before)
  await again.close()
})

test('where the folder of backups cannot be made, it fails and says why', async () => {
  const rack = await filledRack()
  rmSync(join(rack.folder, 'backups'), { recursive: true })
  writeFileSync(join(rack.folder, 'backups'), '')
  await expect(rack.backUp('by-hand')).rejects.toThrow('EEXIST')
  rmSync(join(rack.folder, 'backups'))
  mkdirSync(join(rack.folder, 'backups'))
})
