import { readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { addIntake, beginFile } from '../../electron/rack/queries/intakes.ts'
import type { Context } from '../../electron/service/context.ts'
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
