import { spawn } from 'node:child_process'
import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, expect, onTestFinished, test, vi } from 'vitest'
import { storeOriginal } from '../../electron/rack/disk/photo-store.ts'
import { migrations } from '../../electron/rack/migrations/list.ts'
import { copyRack } from '../../electron/rack/moving/copy-rack.ts'
import { findMoved } from '../../electron/rack/moving/find-moved.ts'
import { rackNamed } from '../../electron/rack/moving/rack-named.ts'
import { createRack, openRack } from '../../electron/rack/opening/open.ts'
import { openForReading, sweepCopies } from '../../electron/rack/opening/reading.ts'
import { copyDatabase } from '../../electron/rack/opening/snapshot.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { everything } from './everything.ts'
import { draft, freshFolder, photoFile } from './fresh.ts'

afterEach(() => void vi.restoreAllMocks())

const titlesIn = (db: Awaited<ReturnType<typeof openRack>>['db']) =>
  db.selectFrom('panel').select('title').orderBy('code').execute()

async function rackWith(titles: readonly string[], folder = join(freshFolder(), 'rack')) {
  const rack = await createRack(folder, 'Wall')
  for (const title of titles) await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title })))
  return rack
}

test('a rack that is only looked at is not touched: no file, no time, no right changes', async () => {
  const rack = await rackWith(['one', 'two'])
  await storeOriginal(rack.folder, await photoFile(join(freshFolder(), 'a.jpg'), 1), 'jpeg')
  await rack.close()
  const before = everything(rack.folder)
  const home = freshFolder()
  const looked = await openForReading(rack.folder, home, 'network')
  expect(looked.access).toMatchObject({ mode: 'reading', why: 'network' })
  expect(await titlesIn(looked.db)).toEqual([{ title: 'one' }, { title: 'two' }])
  expect(looked.rackId).toBe(rack.rackId)
  for (const refused of [
    looked.change({ label: 'add' }, (change) => savePanel(change, draft())),
    looked.undo(),
    looked.redo(),
    looked.forgetHistory(),
    looked.backUp('x'),
    looked.verify(),
  ])
    await expect(refused).rejects.toMatchObject({ code: 'rack/reading-only' })
  // also past what is meant for changes
  await expect(looked.db.deleteFrom('panel').execute()).rejects.toMatchObject({ code: 'SQLITE_READONLY' })
  await looked.close()
  expect(everything(rack.folder)).toEqual(before)
  expect(readdirSync(join(home, 'looked-at'))).toEqual([])
})

test('what stands only in the log of one that was not closed, or is open elsewhere, is seen too', async () => {
  const rack = await rackWith(['one'])
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title: 'in the log' })))
  expect(existsSync(join(rack.folder, 'rack.sqlite-wal'))).toBe(true)
  const before = everything(rack.folder)
  const looked = await openForReading(rack.folder, freshFolder(), 'in-use')
  expect(await titlesIn(looked.db)).toEqual([{ title: 'one' }, { title: 'in the log' }])
  expect(everything(rack.folder)).toEqual(before)
  // its owner goes on meanwhile
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title: 'later' })))
  expect(await titlesIn(looked.db)).toHaveLength(2)
  await looked.close()
  await rack.close()
})

test('a rack in an older form is brought up to date in the copy only', async () => {
  const folder = join(freshFolder(), 'rack')
  const old = await createRack(folder, 'Old wall', { migrations: migrations.slice(0, 5) })
  await old.close()
  const before = everything(folder)
  const looked = await openForReading(folder, freshFolder(), 'read-only')
  expect(await looked.db.selectFrom('file_check').selectAll().execute()).toEqual([])
  await looked.close()
  expect(everything(folder)).toEqual(before)
})

test('a folder that nothing may be written to is looked at', async () => {
  const rack = await rackWith(['one'])
  await rack.close()
  chmodSync(join(rack.folder, 'rack.sqlite'), 0o444)
  chmodSync(rack.folder, 0o555)
  onTestFinished(() => chmodSync(rack.folder, 0o755))
  const looked = await openForReading(rack.folder, freshFolder(), 'read-only')
  expect(await titlesIn(looked.db)).toEqual([{ title: 'one' }])
  await looked.close()
})

test('copies of services that ended badly are cleared away, those in use are not', async () => {
  const rack = await rackWith(['one'])
  await rack.close()
  const home = freshFolder()
  const looked = await openForReading(rack.folder, home, 'network')
  const left = join(home, 'looked-at', 'left')
  mkdirSync(left)
  writeFileSync(join(left, 'rack.sqlite'), 'x')
  await sweepCopies(home)
  expect(existsSync(left)).toBe(false)
  expect(await titlesIn(looked.db)).toEqual([{ title: 'one' }])
  await looked.close()
})

test('copies taken while another process writes, checkpoints and empties the log are whole, each at some one change', async () => {
  const folder = join(freshFolder(), 'rack')
  mkdirSync(folder)
  const path = join(folder, 'rack.sqlite')
  const raw = new Database(path)
  raw.pragma('journal_mode = WAL')
  // two tables always say the same number, far apart in the file
  raw.exec('create table a (n integer, filling blob); create table b (n integer, filling blob)')
  const fill = raw.prepare('insert into a values (0, randomblob(60000))')
  for (let i = 0; i < 20; i++) fill.run()
  raw.exec('insert into b select * from a')
  raw.close()
  const writer = `
    import Database from ${JSON.stringify(import.meta.resolve('better-sqlite3'))}
    const raw = new Database(${JSON.stringify(path)})
    raw.pragma('journal_mode = WAL')
    raw.pragma('wal_autocheckpoint = 40')
    const both = raw.transaction((n) => {
      raw.prepare('update a set n = ?, filling = randomblob(60000) where rowid % 3 = ?').run(n, n % 3)
      raw.prepare('update a set n = ?').run(n)
      raw.prepare('update b set n = ?').run(n)
    })
    let n = 0
    const turn = () => {
      both(++n)
      if (n % 7 === 0) raw.pragma('wal_checkpoint(TRUNCATE)')
      setTimeout(turn, n % 5 === 0 ? 120 : 3)
    }
    turn()
    console.log('writing')`
  const child = spawn(process.execPath, ['--input-type=module', '-e', writer], { stdio: ['ignore', 'pipe', 'inherit'] })
  onTestFinished(() => void child.kill('SIGKILL'))
  await new Promise((resolve) => child.stdout.once('data', resolve))
  const home = freshFolder()
  let whole = 0
  for (let i = 0; i < 6; i++) {
    const target = join(home, `${i}.sqlite`)
    const taken = await copyDatabase(folder, target).then(
      () => true,
      // refused, in words, is a fair answer to somebody who never rests
      (error: { code?: string }) => {
        expect(error.code).toBe('rack/damaged')
        return false
      },
    )
    if (!taken) continue
    whole++
    const copy = new Database(target, { readonly: true })
    const numbers = copy.prepare('select n from a union select n from b').pluck().all()
    expect(numbers).toHaveLength(1)
    expect(copy.pragma('integrity_check', { simple: true })).toBe('ok')
    copy.close()
    expect(readdirSync(home).filter((name) => name.startsWith(`${i}.sqlite-`))).toEqual([])
  }
  expect(whole).toBeGreaterThan(0)
}, 30_000)

test('a rack is copied whole, with its checksums looked at, and opens with full rights', async () => {
  const rack = await rackWith(['one', 'two'])
  const photo = await storeOriginal(rack.folder, await photoFile(join(freshFolder(), 'a.jpg'), 1), 'jpeg')
  const spoilt = await storeOriginal(rack.folder, await photoFile(join(freshFolder(), 'b.jpg'), 2), 'jpeg')
  await rack.close()
  chmodSync(spoilt.path, 0o644)
  writeFileSync(spoilt.path, 'not what its name says')
  writeFileSync(join(rack.folder, 'photos', 'notes.txt'), 'none of the rack’s')
  const before = everything(rack.folder)
  const to = join(freshFolder(), 'copy')
  const told: string[] = []
  const copied = await copyRack(rack.folder, to, { onProgress: (stage) => told.push(stage) })
  expect(copied).toMatchObject({ photos: 1, dataSheets: 0, leftOut: [`${spoilt.sha256}.jpg`] })
  expect(new Set(told).size).toBe(3)
  expect(everything(rack.folder)).toEqual(before)
  expect(readFileSync(join(to, 'photos', photo.sha256.slice(0, 2), `${photo.sha256}.jpg`))).toEqual(
    readFileSync(photo.path),
  )
  const opened = await openRack(to)
  expect(opened.access.mode).toBe('full')
  expect(opened.cautions).toEqual([])
  expect(await titlesIn(opened.db)).toEqual([{ title: 'one' }, { title: 'two' }])
  await opened.close()
  await expect(copyRack(rack.folder, to)).rejects.toMatchObject({ code: 'rack/already-one' })
})

test('a copy that is stopped leaves nothing, and an empty folder as it was', async () => {
  const rack = await rackWith(['one'])
  for (const seed of [1, 2, 3])
    await storeOriginal(rack.folder, await photoFile(join(freshFolder(), 'a.jpg'), seed), 'jpeg')
  await rack.close()
  for (const makeFirst of [false, true]) {
    const above = freshFolder()
    const to = join(above, 'copy')
    if (makeFirst) mkdirSync(to)
    const stop = new AbortController()
    const onProgress = (_: string, done: number) => {
      if (done === 2) stop.abort(new Error('stopped'))
    }
    await expect(copyRack(rack.folder, to, { onProgress, signal: stop.signal })).rejects.toThrow('stopped')
    expect(readdirSync(above, { recursive: true })).toEqual(makeFirst ? ['copy'] : [])
  }
})

test('a rack that was moved is found by its own name, not by what it is called', async () => {
  const above = freshFolder()
  const rack = await rackWith(['one'], join(above, 'old place', 'rack'))
  const other = await rackWith(['one'], join(above, 'other'))
  const moved = join(above, 'somewhere', 'new name')
  await rack.close()
  await other.close()
  mkdirSync(join(above, 'somewhere'))
  const { renameSync } = await import('node:fs')
  renameSync(rack.folder, moved)
  const before = everything(moved)
  expect(await findMoved(rack.folder, rack.rackId, [])).toEqual([{ folder: moved, rackId: rack.rackId, name: 'Wall' }])
  expect(everything(moved)).toEqual(before)
  expect((await rackNamed(other.folder))?.rackId).not.toBe(rack.rackId)
  rmSync(moved, { recursive: true })
  expect(await findMoved(rack.folder, rack.rackId, [])).toEqual([])
}, 20_000)

const network = { whereIs: async () => ({ where: 'network', name: 'nfs4' }) as const }

test('on a network nothing is opened with full rights, made or copied to, and nothing is written', async () => {
  const rack = await rackWith(['one'])
  await rack.close()
  const before = everything(rack.folder)
  await expect(openRack(rack.folder, network)).rejects.toMatchObject({ code: 'rack/on-network' })
  // the painter’s word does not make a network safe
  await expect(openRack(rack.folder, { ...network, isLocal: true })).rejects.toMatchObject({ code: 'rack/on-network' })
  expect(everything(rack.folder)).toEqual(before)
  const above = freshFolder()
  await expect(createRack(join(above, 'new'), 'New', network)).rejects.toMatchObject({ code: 'rack/on-network' })
  await expect(copyRack(rack.folder, join(above, 'copy'), network)).rejects.toMatchObject({ code: 'rack/on-network' })
})

test('where nobody knows, the painter’s word counts', async () => {
  const rack = await rackWith(['one'])
  await rack.close()
  const unknown = { whereIs: async () => ({ where: 'unknown', name: 'fuse' }) as const }
  await expect(openRack(rack.folder, unknown)).rejects.toMatchObject({ code: 'rack/place-unknown' })
  await (await openRack(rack.folder, { ...unknown, isLocal: true })).close()
})
