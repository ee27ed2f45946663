import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, onTestFinished, test, vi } from 'vitest'
import { foundPlace, writeMarker } from '../../electron/rack/backups/second-place/place.ts'
import { storeOriginal } from '../../electron/rack/disk/photo-store.ts'
import { lookThrough } from '../../electron/rack/opening/look-through.ts'
import { createRack, openRack } from '../../electron/rack/opening/open.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { benchService } from '../contract/bench-service.ts'
import { everything } from './everything.ts'
import { freshFolder, photoFile } from './fresh.ts'

async function rackWith(what: { photo?: boolean; backup?: boolean }): Promise<string> {
  const rack = await createRack(join(freshFolder(), 'rack'), 'Wall')
  if (what.photo) await storeOriginal(rack.folder, await photoFile(join(freshFolder(), 'a.jpg'), 1), 'jpeg')
  if (what.backup) await rack.backUp('by-hand')
  await rack.close()
  rmSync(join(rack.folder, 'rack.sqlite'))
  return rack.folder
}

test.each([
  ['photos', { photo: true }],
  ['backups', { backup: true }],
  ['photos and backups', { photo: true, backup: true }],
])('records gone, %s there: it is a rack, and nothing is made anew over it', async (words, what) => {
  const folder = await rackWith(what)
  const before = everything(folder)
  await expect(openRack(folder)).rejects.toMatchObject({
    code: 'rack/damaged',
    message: expect.stringContaining(`its ${words} are`),
  })
  await expect(createRack(folder, 'New')).rejects.toMatchObject({ code: 'rack/folder-not-empty' })
  expect(everything(folder)).toEqual(before)
})

test('a painter’s own folder of photos and backups is no rack', async () => {
  const folder = freshFolder()
  for (const name of ['photos', 'photos/ab', 'backups']) mkdirSync(join(folder, name))
  writeFileSync(join(folder, 'photos', 'ab', 'IMG_1.jpg'), '')
  writeFileSync(join(folder, 'backups', 'letters.zip'), '')
  await expect(openRack(folder)).rejects.toMatchObject({ code: 'rack/not-a-rack' })
})

test('a rack without backups whose records were overwritten is damaged, not another thing', async () => {
  const rack = await createRack(join(freshFolder(), 'rack'), 'Wall')
  await rack.close()
  writeFileSync(join(rack.folder, 'rack.sqlite'), 'x'.repeat(5000))
  await expect(openRack(rack.folder)).rejects.toMatchObject({ code: 'rack/damaged' })
})

test('a second place says what it is, and what it is for', async () => {
  const rack = await createRack(join(freshFolder(), 'rack'), 'Wall')
  const whose = { folder: rack.folder, rackId: rack.rackId, rackName: 'Wall' }
  const { folder, marker } = await foundPlace(freshFolder(), whose)
  await rack.close()
  await writeMarker(folder, marker)
  await expect(openRack(folder)).rejects.toMatchObject({
    code: 'rack/not-a-rack',
    remedy: expect.stringContaining('Make a rack from a second place'),
  })
})

test('the list of recent racks tells records that are gone from a folder that is not there', async () => {
  const { call } = await benchService()
  const folder = join(freshFolder(), 'rack')
  await call('rack.create', { folder, name: 'Wall' })
  await call('backups.make', {})
  await vi.waitFor(async () =>
    expect((await call('backups.list', { folder, thorough: false })).backups).toHaveLength(1),
  )
  await call('rack.close', {})
  const first = async () => (await call('rack.listRecent', {})).racks[0]
  expect(await first()).toMatchObject({ present: true, recordsGone: false })
  rmSync(join(folder, 'rack.sqlite'))
  expect(await first()).toMatchObject({ present: false, recordsGone: true })
  rmSync(folder, { recursive: true })
  expect(await first()).toMatchObject({ present: false, recordsGone: false })
})

/** Pages of a table, of which some are overwritten where they say where their rows lie. */
function withBrokenPages(count: number): Database.Database {
  const path = join(freshFolder(), 'some.sqlite')
  const whole = new Database(path)
  whole.exec('create table t (a text)')
  const insert = whole.prepare('insert into t values (?)')
  whole.transaction(() => {
    for (let i = 0; i < 400; i++) insert.run('x'.repeat(200))
  })()
  whole.close()
  const bytes = readFileSync(path)
  // SQLite, Database File Format, 1.3.2 (page size) and 1.6: the pointers of a leaf's cells begin at its eighth byte
  const size = bytes.readUInt16BE(16)
  for (let page = 4; page < 4 + count; page++) bytes.fill(0xa5, page * size + 8, page * size + 12)
  writeFileSync(path, bytes)
  const raw = new Database(path)
  onTestFinished(() => void raw.close())
  return raw
}

test.each([
  [1, /in \d+ places|in one place/],
  [12, /in \d\d+ places/],
])('%i broken pages are counted in words; what SQLite says is for the log', (count, said) => {
  const unknown = { checkedAt: null, state: 'unknown', logMissing: false, revision: 0 } as const
  const look = () => lookThrough(withBrokenPages(count), '/racks/wall', unknown)
  const refused = refusalOf(look)
  expect(refused.code).toBe('rack/damaged')
  expect(refused.message).toMatch(said)
  expect(refused.message).not.toMatch(/\*\*\*|tree|page|error/i)
  expect(String(refused.cause)).toMatch(/page/i)
})

function refusalOf(work: () => unknown): Refusal {
  try {
    work()
  } catch (error) {
    if (error instanceof Refusal) return error
    throw error
  }
  return expect.unreachable()
}
