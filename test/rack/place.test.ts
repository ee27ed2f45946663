import { copyFileSync, mkdirSync, readdirSync, readFileSync, renameSync, utimesSync, writeFileSync } from 'node:fs'
import { hostname } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, expect, test, vi } from 'vitest'
import { longestFolder } from '../../electron/rack/disk/names.ts'
import { storeOriginal } from '../../electron/rack/disk/photo-store.ts'
import { breakLock, takeLock, whoHolds } from '../../electron/rack/opening/lock.ts'
import { thisHolder } from '../../electron/rack/opening/lock-holder.ts'
import { createRack, openRack, type Rack } from '../../electron/rack/opening/open.ts'
import { listHistory } from '../../electron/rack/queries/history.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { everything } from './everything.ts'
import { draft, freshFolder, freshRack, photoFile } from './fresh.ts'

afterEach(() => {
  vi.restoreAllMocks()
  vi.useRealTimers()
})

const add = (rack: Rack, title: string) =>
  rack.change({ label: `add ${title}` }, (change) => savePanel(change, draft({ title })))
const titles = (rack: Rack) => rack.db.selectFrom('panel').select('title').orderBy('code').execute()

test('own changes, also those that move the log into the database, are no reason for alarm', async () => {
  const rack = await freshRack()
  for (let i = 0; i < 30; i++) {
    await add(rack, String(i))
    if (i % 7 === 0)
      await rack.db
        .updateTable('rack_info')
        .set({ name: `Wall ${i}` })
        .execute()
  }
  await rack.undo()
  await rack.redo()
  await rack.verify()
  expect(await titles(rack)).toHaveLength(30)
})

test('a database that was put in place of the open one: nothing more is written, and both are kept', async () => {
  const other = await freshRack()
  await add(other, 'theirs')
  await other.close()
  const rack = await freshRack()
  await add(rack, 'mine')
  // as such programs do: the new file is finished beside and renamed over
  const path = join(rack.folder, 'rack.sqlite')
  copyFileSync(join(other.folder, 'rack.sqlite'), `${path}.tmp`)
  renameSync(`${path}.tmp`, path)
  const theirs = readFileSync(path)
  await expect(add(rack, 'lost')).rejects.toMatchObject({ code: 'rack/replaced' })
  await expect(rack.undo()).rejects.toMatchObject({ code: 'rack/replaced' })
  // closing it is enough: what is open has no name any more
  await rack.close()
  const name = readdirSync(join(rack.folder, 'backups')).find((found) => found.endsWith('kept-here.sqlite')) ?? ''
  expect(readFileSync(path)).toEqual(theirs)
  const kept = new Database(join(rack.folder, 'backups', name), { readonly: true })
  expect(kept.prepare('select title from panel').pluck().all()).toEqual(['mine'])
  kept.close()
  const again = await openRack(rack.folder)
  expect(await titles(again)).toEqual([{ title: 'theirs' }])
  await again.close()
})

test('a database written to by another program is noticed by its time', async () => {
  const rack = await freshRack()
  await add(rack, 'mine')
  await rack.verify()
  utimesSync(join(rack.folder, 'rack.sqlite'), new Date(), new Date(Date.now() - 5000))
  await expect(add(rack, 'lost')).rejects.toMatchObject({ code: 'rack/replaced' })
  expect(await titles(rack)).toEqual([{ title: 'mine' }])
})

test('a folder that is gone, as when its drive is pulled out: refused in words, and it goes on when it is back', async () => {
  const rack = await freshRack()
  await add(rack, 'before')
  const away = `${rack.folder} away`
  renameSync(rack.folder, away)
  await expect(add(rack, 'lost')).rejects.toMatchObject({
    code: 'rack/drive-gone',
    message: expect.stringContaining(rack.folder),
  })
  renameSync(away, rack.folder)
  await add(rack, 'after')
  expect(await titles(rack)).toEqual([{ title: 'before' }, { title: 'after' }])
})

test('a lock that another computer took while this one slept is noticed before anything is written', async () => {
  const rack = await freshRack()
  await add(rack, 'before')
  writeFileSync(join(rack.folder, 'lock'), JSON.stringify({ ...thisHolder('theirs'), host: 'the-other-bench' }))
  // no sign of life was due by this process’ own timers: only the clock tells that time has passed
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + 8 * 3600_000 })
  await expect(add(rack, 'lost')).rejects.toMatchObject({ code: 'rack/taken-over' })
  vi.useRealTimers()
  expect(await titles(rack)).toEqual([{ title: 'before' }])
})

test('a clock that was put back does not turn the history round', async () => {
  const rack = await freshRack()
  await add(rack, 'first')
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 400 * 24 * 3600_000 })
  await add(rack, 'second')
  await add(rack, 'third')
  vi.useRealTimers()
  const { entries } = await listHistory(rack.db, { panelId: null, limit: 10 })
  expect(entries.map(({ label }) => label)).toEqual(['add third', 'add second', 'add first', 'made this rack'])
  expect(await rack.undo()).toMatchObject({ label: 'add third' })
  expect(await rack.undo()).toMatchObject({ label: 'add second' })
})

test('a lock of another computer is taken over only when it gives no sign of life', async () => {
  const folder = freshFolder()
  const path = join(folder, 'lock')
  const theirs = { ...thisHolder('theirs'), host: 'the-other-bench' }
  const beat = (ageMs: number) => utimesSync(path, new Date(), new Date(Date.now() - ageMs))
  writeFileSync(path, JSON.stringify(theirs))
  const waits: number[] = []
  const wait = async (ms: number) => void waits.push(ms)

  beat(60_000)
  expect(await whoHolds(folder)).toMatchObject({ holder: { host: 'the-other-bench' }, here: false })
  await expect(breakLock(folder, 'theirs', wait)).rejects.toMatchObject({ code: 'rack/locked' })
  // their clock is ahead of ours
  beat(-60_000)
  await expect(breakLock(folder, 'theirs', wait)).rejects.toMatchObject({ code: 'rack/locked' })
  expect(waits).toEqual([])

  beat(600_000)
  await expect(breakLock(folder, 'another', wait)).rejects.toMatchObject({ code: 'rack/locked' })
  // quiet by its clock, which is wrong, and yet it gives a sign while one looks on
  await expect(breakLock(folder, 'theirs', async () => beat(599_000))).rejects.toMatchObject({ code: 'rack/locked' })
  beat(600_000)
  await breakLock(folder, 'theirs', wait)
  expect(waits).toEqual([22_000])
  await (await takeLock(folder)).release()
})

test('a lock of this computer is never taken over: its process lives, or it is freed by itself', async () => {
  const folder = freshFolder()
  const lock = await takeLock(folder)
  const seen = await whoHolds(folder)
  if (seen === null || seen === 'unreadable') throw new Error('nobody holds it')
  expect(seen).toMatchObject({ here: true, holder: { host: hostname() } })
  utimesSync(join(folder, 'lock'), new Date(), new Date(Date.now() - 3600_000))
  await expect(breakLock(folder, seen.holder.nonce, async () => undefined)).rejects.toMatchObject({
    code: 'rack/locked',
  })
  await lock.release()
})

const odd = [
  'جدار الشمال',
  'उत्तर की दीवार',
  '北の壁',
  '🎨🖌️ wall',
  'Cafe\u0301 composed otherwise',
  'dots at its end...',
  'blank at its end ',
  ' blank before',
  'con',
  'a%20b#c?d&e',
  "it's “quoted”",
  'file:rack',
  '-rf',
]
// what Windows takes is another matter, and named so
test.skipIf(process.platform === 'win32').each(odd)('a rack in a folder called “%s”', async (name) => {
  const folder = join(freshFolder(), name)
  const rack = await createRack(folder, name)
  await add(rack, name)
  const stored = await storeOriginal(folder, await photoFile(join(freshFolder(), `${name}.jpg`), 3), 'jpeg')
  expect(readFileSync(stored.path).length).toBe(stored.byteCount)
  await rack.backUp('by-hand')
  await rack.close()
  const again = await openRack(folder)
  expect(await titles(again)).toEqual([{ title: name }])
  await again.close()
})

/** A folder whose path is exactly so long. */
function folderOf(bytes: number): string {
  let path = freshFolder()
  while (bytes - path.length > 100) {
    path = join(path, 'd'.repeat(Math.min(80, bytes - path.length - 10)))
    mkdirSync(path)
  }
  return join(path, 'r'.repeat(bytes - path.length - 1))
}

test('the longest path that is allowed works to its end, a longer one is refused in words', async () => {
  const rack = await createRack(folderOf(longestFolder), 'Deep')
  await add(rack, 'deep')
  const stored = await storeOriginal(rack.folder, await photoFile(join(freshFolder(), 'p.jpg'), 4), 'jpeg')
  expect(stored.byteCount).toBeGreaterThan(0)
  await rack.backUp('by-hand')
  await rack.close()
  await (await openRack(rack.folder)).close()

  for (const bytes of [longestFolder + 1, 700, 3500]) {
    const folder = folderOf(bytes)
    await expect(createRack(folder, 'Too deep')).rejects.toMatchObject({ code: 'rack/path-too-long' })
    // one that was moved there
    mkdirSync(folder)
    copyFileSync(join(rack.folder, 'rack.sqlite'), join(folder, 'rack.sqlite'))
    const before = everything(folder)
    await expect(openRack(folder)).rejects.toMatchObject({ code: 'rack/path-too-long' })
    expect(everything(folder)).toEqual(before)
  }
  // longer than the system takes
  await expect(createRack(`/${'x/'.repeat(2500)}rack`, 'x')).rejects.toMatchObject({ code: 'rack/path-too-long' })
})
