import { createHash } from 'node:crypto'
import { copyFileSync, existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { sql } from 'kysely'
import { expect, test } from 'vitest'
import { addIntake, beginFile } from '../../electron/rack/queries/intakes.ts'
import type { Context } from '../../electron/service/context.ts'
import { stagingFolder, stagingPath, sweepStaging } from '../../electron/service/link/app-folder.ts'
import { dump, photoFile } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'

async function benchWithRack() {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Bench' })
  return { ...service, desk: service.folder }
}

async function photoFiles(desk: string, count: number) {
  const files = []
  for (let i = 0; i < count; i++) {
    const name = `IMG_${String(i).padStart(4, '0')}.jpg`
    files.push({ path: await photoFile(join(desk, name), i + 1), name })
  }
  return files
}

const inOrder = (a = '', b = '') => a.localeCompare(b)

/** Until the first file of an intake has met its fate. */
async function firstItem({ jobs }: Context, jobId: string): Promise<void> {
  while (!jobs.list().some(({ id, items }) => id === jobId && items.length > 0))
    await new Promise((resolve) => setTimeout(resolve, 1))
}

test('of each file it is said what became of it, and the whole intake is one step to undo', async () => {
  const { call, ended, desk, context, folder } = await benchWithRack()
  const files = await photoFiles(desk, 3)
  writeFileSync(join(desk, 'notes.jpg'), 'not a picture at all')
  writeFileSync(join(desk, 'empty.jpg'), '')
  const before = await dump(context.rack())
  const { jobId } = await call('photos.takeIn', {
    files: [
      ...files,
      { path: files[0]?.path ?? '', name: 'again.jpg' },
      { path: join(desk, 'notes.jpg'), name: 'notes.jpg' },
      { path: join(desk, 'empty.jpg'), name: 'empty.jpg' },
      { path: join(desk, 'gone.jpg'), name: 'gone.jpg' },
    ],
  })
  const job = await ended(jobId)
  expect(job).toMatchObject({ state: 'done', done: 7, total: 7 })
  const fates = Object.fromEntries(job.items.map(({ name, fate, why }) => [name, why?.code ?? fate]))
  // the same file twice in one intake: either may be the first
  expect([fates['IMG_0000.jpg'], fates['again.jpg']].toSorted(inOrder)).toEqual(['duplicate', 'taken'])
  expect(fates).toMatchObject({
    'IMG_0001.jpg': 'taken',
    'IMG_0002.jpg': 'taken',
    'notes.jpg': 'photo/not-a-picture',
    'empty.jpg': 'photo/empty',
    'gone.jpg': 'photo/unreadable',
  })
  expect(job.items.filter(({ why }) => why?.remedy === '')).toEqual([])
  const { photos } = await call('photos.listTray', {})
  expect(photos).toHaveLength(3)
  for (const { sha256 } of photos)
    for (const size of ['thumb', 'view'])
      expect(readdirSync(join(folder, 'rack', 'renditions', sha256.slice(0, 2)))).toContain(`${sha256}-${size}.webp`)
  expect(await context.rack().db.selectFrom('intake').selectAll().execute()).toEqual([])

  expect(await call('history.undo', {})).toEqual({ label: 'take in 3 photos' })
  expect(await dump(context.rack())).toBe(before)
  await call('history.redo', {})
  expect((await call('photos.listTray', {})).photos).toEqual(photos)
})

test('a photo in the trash comes back when it is taken in again', async () => {
  const { call, ended, desk } = await benchWithRack()
  const files = await photoFiles(desk, 1)
  const first = await ended((await call('photos.takeIn', { files })).jobId)
  const photoId = first.items[0]?.photoId ?? ''
  await call('photos.discard', { photoId })
  expect((await call('photos.listTray', {})).photos).toEqual([])
  const second = await ended((await call('photos.takeIn', { files })).jobId)
  expect(second.items).toMatchObject([{ fate: 'taken', photoId }])
  expect((await call('photos.listTray', {})).photos).toHaveLength(1)
})

test('a cancelled intake keeps what was taken and says what was not', async () => {
  const { call, ended, desk, context } = await benchWithRack()
  const files = await photoFiles(desk, 30)
  const { jobId } = await call('photos.takeIn', { files })
  await firstItem(context, jobId)
  await call('jobs.cancel', { jobId })
  const job = await ended(jobId)
  const count = (fate: string) => job.items.filter((item) => item.fate === fate).length
  expect(job.state).toBe('cancelled')
  expect(count('cancelled')).toBeGreaterThan(0)
  expect(count('taken') + count('cancelled')).toBe(30)
  expect((await call('photos.listTray', {})).photos).toHaveLength(count('taken'))
  expect(await context.rack().db.selectFrom('intake').selectAll().execute()).toEqual([])
})

test('closing the rack puts an intake off, and opening it goes on under the same job', async () => {
  const { call, ended, desk, folder, context } = await benchWithRack()
  const files = await photoFiles(desk, 20)
  const { jobId } = await call('photos.takeIn', { files })
  await firstItem(context, jobId)
  await call('rack.close', {})
  expect((await ended(jobId)).items.length).toBeLessThan(20)
  await call('rack.open', { folder: join(folder, 'rack') })
  const job = await ended(jobId)
  expect(job).toMatchObject({ state: 'done', done: 20 })
  expect(new Set(job.items.map(({ fate }) => fate))).toEqual(new Set(['taken']))
  expect((await call('photos.listTray', {})).photos).toHaveLength(20)
})

test('a file that ended the service twice is left out; one that was only beside it is taken', async () => {
  const { call, ended, desk, folder, context } = await benchWithRack()
  const files = await photoFiles(desk, 3)
  const { db } = context.rack()
  // as two services left it that were killed: the second one while it looked at the first file alone
  await addIntake(db, 'left', files)
  await beginFile(db, 'left', 0)
  await beginFile(db, 'left', 1)
  await beginFile(db, 'left', 0)
  await call('rack.close', {})
  await call('rack.open', { folder: join(folder, 'rack') })
  const { items } = await ended('left')
  const fates = Object.fromEntries(items.map(({ name, fate, why }) => [name, why?.code ?? fate]))
  expect(fates).toEqual({
    'IMG_0000.jpg': 'photo/stopped-the-service',
    'IMG_0001.jpg': 'taken',
    'IMG_0002.jpg': 'taken',
  })
})

test('progress is told at most ten times a second, and the end always', async () => {
  const { call, ended, desk, events } = await benchWithRack()
  const files = await photoFiles(desk, 25)
  const began = performance.now()
  const { jobId } = await call('photos.takeIn', { files })
  await ended(jobId)
  const tookMs = performance.now() - began
  const reports = events.flatMap((event) => (event.name === 'job.progressed' ? [event.data] : []))
  expect(reports.at(-1)).toMatchObject({ state: 'done', done: 25 })
  // one at once, one each tenth of a second, and the end
  expect(reports.length).toBeLessThanOrEqual(tookMs / 100 + 3)
})

test('an original lies in the rack byte for byte, under its hash, and nobody may write to it', async () => {
  const { call, ended, desk, folder } = await benchWithRack()
  const files = await photoFiles(desk, 3)
  await ended((await call('photos.takeIn', { files })).jobId)
  const { photos } = await call('photos.listTray', {})
  for (const { path, name } of files) {
    const bytes = readFileSync(path)
    const sha256 = createHash('sha256').update(bytes).digest('hex')
    expect(photos.find((photo) => photo.sha256 === sha256)).toMatchObject({ name, byteCount: bytes.length })
    const original = join(folder, 'rack', 'photos', sha256.slice(0, 2), `${sha256}.jpg`)
    expect(readFileSync(original).equals(bytes)).toBe(true)
    expect(statSync(original).mode & 0o222).toBe(0)
  }
})

/** As both hosts keep what a page hands over as bytes. */
async function staged(home: string, path: string, name: string) {
  const copy = await stagingPath(stagingFolder(home), name)
  copyFileSync(path, copy)
  return { path: copy, name }
}

test('a copy made for the intake goes when its file has met its fate; the painter’s own files stay', async () => {
  const { call, ended, desk, context } = await benchWithRack()
  const home = context.appFiles.folder
  const own = await photoFiles(desk, 2)
  writeFileSync(join(desk, 'notes.jpg'), 'not a picture at all')
  const taken = await staged(home, own[0]?.path ?? '', 'taken.jpg')
  const duplicate = await staged(home, own[1]?.path ?? '', 'duplicate.jpg')
  const refused = await staged(home, join(desk, 'notes.jpg'), 'refused.jpg')
  const later = await staged(home, own[0]?.path ?? '', 'not taken in yet.jpg')
  await ended((await call('photos.takeIn', { files: own.slice(1) })).jobId)
  const { items } = await ended((await call('photos.takeIn', { files: [taken, duplicate, refused] })).jobId)
  expect(items.map(({ fate }) => fate).toSorted(inOrder)).toEqual(['duplicate', 'refused', 'taken'])
  for (const { path } of [taken, duplicate, refused]) expect(existsSync(path)).toBe(false)
  expect(readdirSync(stagingFolder(home))).toEqual([basename(dirname(later.path))])
  for (const { path } of own) expect(existsSync(path)).toBe(true)
  expect((await call('photos.listTray', {})).photos).toHaveLength(2)
})

test('copies of a cancelled intake go too; those of one that was put off stay until it goes on', async () => {
  const { call, ended, desk, context, folder } = await benchWithRack()
  const staging = stagingFolder(context.appFiles.folder)
  const own = await photoFiles(desk, 24)
  const stage = () => Promise.all(own.map(({ path, name }) => staged(context.appFiles.folder, path, name)))
  const first = await call('photos.takeIn', { files: await stage() })
  await firstItem(context, first.jobId)
  await call('rack.close', {})
  const { items } = await ended(first.jobId)
  expect(readdirSync(staging)).toHaveLength(24 - items.length)
  // a weekend later the host clears away what belongs to nobody
  const orphan = await staged(context.appFiles.folder, own[0]?.path ?? '', 'orphan.jpg')
  await sweepStaging(staging, Date.now() + 3 * 24 * 3600 * 1000)
  expect(existsSync(orphan.path)).toBe(false)
  expect(readdirSync(staging)).toHaveLength(24 - items.length)
  await call('rack.open', { folder: join(folder, 'rack') })
  await ended(first.jobId)
  expect((await call('photos.listTray', {})).photos).toHaveLength(24)
  expect(readdirSync(staging)).toEqual([])
  const second = await call('photos.takeIn', { files: await stage() })
  await call('jobs.cancel', { jobId: second.jobId })
  await ended(second.jobId)
  expect(readdirSync(staging)).toEqual([])
})

test('a path that only looks staged removes nothing', async () => {
  const { call, ended, desk, context } = await benchWithRack()
  const home = context.appFiles.folder
  const { path } = await staged(home, (await photoFiles(desk, 1))[0]?.path ?? '', 'a.jpg')
  const settings = join(home, 'settings.json')
  writeFileSync(settings, '{}')
  const wrong = [join(stagingFolder(home), 'a.jpg'), join(dirname(path), '..', '..', 'settings.json'), settings]
  await ended((await call('photos.takeIn', { files: wrong.map((each) => ({ path: each, name: 'x.jpg' })) })).jobId)
  expect(existsSync(path)).toBe(true)
  expect(existsSync(settings)).toBe(true)
})

test('a full drive stops the intake with that reason; once there is room it goes on where it stopped', async () => {
  const { call, ended, desk, folder, context } = await benchWithRack()
  const files = await photoFiles(desk, 16)
  const { jobId } = await call('photos.takeIn', { files })
  // SQLite then answers SQLITE_FULL as it does when the drive is full
  const { db } = context.rack()
  const { rows } = await sql<{ page_count: number }>`pragma page_count`.execute(db)
  await sql`pragma max_page_count = ${sql.lit(rows[0]?.page_count)}`.execute(db)
  const job = await ended(jobId)
  expect(job).toMatchObject({ state: 'failed', error: { code: 'rack/disk-full' } })
  // no photo is blamed for it
  expect(new Set(job.items.map(({ fate }) => fate))).toEqual(new Set(['taken']))
  expect(job.items.length).toBeLessThan(16)
  await call('rack.close', {})
  await call('rack.open', { folder: join(folder, 'rack') })
  const again = await ended(jobId)
  expect(again).toMatchObject({ state: 'done', done: 16 })
  expect(new Set(again.items.map(({ fate }) => fate))).toEqual(new Set(['taken']))
  expect((await call('photos.listTray', {})).photos).toHaveLength(16)
  await call('history.undo', {})
  expect((await call('photos.listTray', {})).photos).toEqual([])
})

test('the label of the step to undo says how many were taken, and whoever shows it is told', async () => {
  const { call, ended, desk, events } = await benchWithRack()
  const files = await photoFiles(desk, 2)
  writeFileSync(join(desk, 'notes.jpg'), 'not a picture at all')
  const { jobId } = await call('photos.takeIn', {
    files: [...files, { path: join(desk, 'notes.jpg'), name: 'notes.jpg' }],
  })
  await ended(jobId)
  const { rack } = await call('rack.describe', {})
  expect(rack?.undo).toBe('take in 2 photos')
  const told = events.flatMap((event) => (event.name === 'rack.changed' ? [event.data.revision] : []))
  expect(told.at(-1)).toBe(rack?.revision)
  // of the photos, together or one by one, and of the label
  expect(told.length).toBeGreaterThan(1)
})
