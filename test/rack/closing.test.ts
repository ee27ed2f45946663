import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { CompiledQuery } from 'kysely'
import { afterEach, expect, onTestFinished, test, vi } from 'vitest'
import { thisHolder } from '../../electron/rack/opening/lock-holder.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { draft, dump, freshRack } from './fresh.ts'

afterEach(() => void vi.restoreAllMocks())

test('what is under way ends before the rack closes; what comes later is refused in words', async () => {
  const rack = await freshRack()
  const add = (title: string) => rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title })))
  const titles = () => rack.read((db) => db.selectFrom('panel').select('title').orderBy('code').execute())
  const earlier = Promise.allSettled([add('one'), titles(), add('two')])
  const closing = rack.close()
  const later = Promise.allSettled([add('three'), titles(), rack.undo()])
  await closing
  expect((await earlier).map(({ status }) => status)).toEqual(['fulfilled', 'fulfilled', 'fulfilled'])
  for (const result of await later)
    expect(result).toMatchObject({ status: 'rejected', reason: { code: 'rack/none-open' } })
  await expect(titles()).rejects.toMatchObject({ code: 'rack/none-open' })
  const again = await openRack(rack.folder)
  expect(await again.db.selectFrom('panel').select('title').orderBy('code').execute()).toEqual([
    { title: 'one' },
    { title: 'two' },
  ])
  await again.close()
})

test('a transaction that SQLite itself took back is told by its cause', async () => {
  const rack = await freshRack()
  const before = await dump(rack)
  // on a drive that is really full SQLite rolls back and then answers SQLITE_FULL
  const full = rack.change({ label: 'add' }, async (change) => {
    await savePanel(change, draft())
    await change.db.executeQuery(CompiledQuery.raw('rollback'))
    throw Object.assign(new Error('database or disk is full'), { code: 'SQLITE_FULL' })
  })
  await expect(full).rejects.toMatchObject({ code: 'rack/disk-full' })
  expect(await dump(rack)).toBe(before)
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
})

test('a rack whose lock cannot be removed is closed all the same', async () => {
  const said = vi.spyOn(console, 'error').mockImplementation(() => undefined)
  const rack = await freshRack()
  const lock = join(rack.folder, 'lock')
  rmSync(lock)
  // reading it then fails, as on a drive that was pulled out
  mkdirSync(lock)
  await rack.close()
  expect(said).toHaveBeenCalledTimes(1)
  await expect(rack.undo()).rejects.toMatchObject({ code: expect.stringMatching(/^rack\//) })
  rmSync(lock, { recursive: true })
  await (await openRack(rack.folder)).close()
})

test('a rack that another service took over is no longer written to, and its lock is left alone', async () => {
  vi.useFakeTimers({ toFake: ['setInterval'] })
  onTestFinished(() => void vi.useRealTimers())
  const rack = await freshRack()
  const add = () => rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  await add()
  const lock = join(rack.folder, 'lock')
  const other = JSON.stringify({ ...thisHolder('other'), pid: process.ppid })
  writeFileSync(lock, other)
  vi.advanceTimersByTime(10_000)
  // the sign of life is given beside everything else
  await vi.waitFor(() => expect(add()).rejects.toMatchObject({ code: 'rack/taken-over' }))
  await expect(rack.undo()).rejects.toMatchObject({ code: 'rack/taken-over' })
  await rack.close()
  expect(readFileSync(lock, 'utf8')).toBe(other)
})

test('a lock deleted by hand comes back with the next sign of life', async () => {
  vi.useFakeTimers({ toFake: ['setInterval'] })
  onTestFinished(() => void vi.useRealTimers())
  const rack = await freshRack()
  const lock = join(rack.folder, 'lock')
  const before = readFileSync(lock, 'utf8')
  rmSync(lock)
  vi.advanceTimersByTime(10_000)
  await vi.waitFor(() => expect(readFileSync(lock, 'utf8')).toBe(before))
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
})
