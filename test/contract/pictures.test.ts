import { existsSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import sharp from 'sharp'
import { expect, test } from 'vitest'
import { cutSides } from '../../electron/photos/cuts.ts'
import { decodings } from '../../electron/service/pictures.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import { draft, photoFile } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'
import { box, noHelp, panelPhoto } from './panel-photo.ts'

/** A panel of two steps, filed from one photo. */
async function filedPanel() {
  const service = await benchService()
  const { call, ended, folder } = service
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  const { panel } = await call('panels.save', { draft: draft() })
  const path = await panelPhoto(join(folder, 'panel.png'), 1, 1200, 800)
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'panel.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  const layout: Layout = {
    areas: panel.steps.map(({ id }, i) => ({
      stepId: id,
      shape: { kind: 'quad', quad: box(60, 60 + 350 * i, 600, 320) },
    })),
    card: { quad: box(800, 60, 320, 560), lab: { l: 50, a: 0, b: 0 } },
  }
  const filing = { photoId, panelId: panel.id, layout, ageDays: null, lightId: null, ...noHelp }
  const { readings } = await call('photos.file', { ...filing, view: 'face', stage: 'dry' })
  const [one = '', two = ''] = readings.map(({ cut }) => cut ?? '')
  return { ...service, photoId, one, two, cuts: join(folder, 'rack', 'renditions', 'cuts') }
}

const cutsBelow = (folder: string) =>
  (existsSync(folder) ? readdirSync(folder, { recursive: true }).map(String) : []).filter((name) =>
    name.endsWith('.webp'),
  )

test('a cut-out comes in three sizes, each made once and kept under its own name', async () => {
  const { call, one } = await filedPanel()
  for (const [size, key] of [
    ['small', `cut/${one}/small`],
    ['usual', `cut/${one}`],
    ['large', `cut/${one}/large`],
  ] as const) {
    const { path } = await call('pictures.locate', { key })
    const { width, height } = await sharp(path).metadata()
    expect(Math.max(width, height)).toBe(cutSides[size])
    const before = statSync(path).mtimeMs
    expect((await call('pictures.locate', { key })).path).toBe(path)
    expect(statSync(path).mtimeMs).toBe(before)
  }
})

test.each(['/tiny', '/full', '/small/small', '/'])('no other size has a picture ("%s")', async (size) => {
  const { refusal, one } = await filedPanel()
  expect(await refusal('pictures.locate', { key: `cut/${one}${size}` })).toMatchObject({ code: 'picture/absent' })
})

test('one decoding of the photo cuts out its other areas too', async () => {
  const { call, one, two, cuts } = await filedPanel()
  await call('pictures.locate', { key: `cut/${one}/small` })
  expect(cutsBelow(cuts).map((name) => name.slice(3))).toEqual(
    expect.arrayContaining([`${one}-small.webp`, `${one}.webp`, `${two}.webp`]),
  )
})

test('asked for together, cut-outs of one photo do not stand in each other’s way', async () => {
  const { call, one, two } = await filedPanel()
  const keys = [one, two].flatMap((hash) => ['', '/small', '/large'].map((size) => `cut/${hash}${size}`))
  const found = await Promise.all(keys.map((key) => call('pictures.locate', { key })))
  for (const { path } of found) expect((await sharp(path).metadata()).format).toBe('webp')
  expect(new Set(found.map(({ path }) => path)).size).toBe(keys.length)
})

test('a small cut-out needs no original while the usual one is there', async () => {
  const { call, refusal, one, folder } = await filedPanel()
  await call('pictures.locate', { key: `cut/${one}` })
  rmSync(join(folder, 'rack', 'photos'), { recursive: true })
  await expect(call('pictures.locate', { key: `cut/${one}/small` })).resolves.toBeDefined()
  expect(await refusal('pictures.locate', { key: `cut/${one}/large` })).toMatchObject({ code: 'picture/absent' })
})

test('an empty file, which a power cut leaves of a picture just written, is made again', async () => {
  const { call, one } = await filedPanel()
  const key = `cut/${one}`
  const { path } = await call('pictures.locate', { key })
  writeFileSync(path, '')
  await call('pictures.locate', { key })
  expect((await sharp(path).metadata()).width).toBeGreaterThan(100)
  expect(readdirSync(dirname(path)).filter((name) => name.endsWith('.part'))).toEqual([])
})

test('a picture given up before its turn is not made; asked for again, it is', async () => {
  const { call, refusal, one, cuts } = await filedPanel()
  const hold = Promise.withResolvers<void>()
  // both places are taken
  const held = [decodings.ahead(() => hold.promise), decodings.ahead(() => hold.promise)]
  const key = `cut/${one}/large`
  const asked = refusal('pictures.locate', { key })
  await new Promise((resolve) => setTimeout(resolve, 50))
  await call('pictures.giveUp', { keys: [key, 'no key at all'] })
  expect(await asked).toMatchObject({ code: 'picture/given-up' })
  hold.resolve()
  await Promise.all(held)
  expect(cutsBelow(cuts)).toEqual([])
  await expect(call('pictures.locate', { key })).resolves.toBeDefined()
})

test('of photos that wait only those asked for are told, in the order asked', async () => {
  const { call, ended, folder, photoId } = await filedPanel()
  const files = []
  for (let i = 0; i < 5; i++) {
    const name = `${i}.jpg`
    files.push({ path: await photoFile(join(folder, name), i + 1), name })
  }
  await ended((await call('photos.takeIn', { files })).jobId)
  const { ids, sheetIds } = await call('photos.listWaiting', {})
  const { photos } = await call('photos.listTray', {})
  expect(ids).toEqual(photos.map(({ id }) => id))
  expect(ids).toHaveLength(5)
  expect(sheetIds).toEqual([])
  const some = [ids[3] ?? '', 'never there', ids[1] ?? '']
  const many = await call('photos.getMany', { photoIds: some })
  expect(many.photos).toEqual([photos[3], photos[1]])
  // one serves another as its blank sheet
  const [sheet = '', other = ''] = ids
  const help = { setupId: null, flatPhotoId: sheet, lightId: null, view: 'face', stage: 'dry' } as const
  await call('photos.mark', { photoId: other, layout: { areas: [], card: null }, ...help })
  expect((await call('photos.listWaiting', {})).sheetIds).toEqual([sheet])
  await call('photos.discard', { photoId: other })
  expect((await call('photos.getMany', { photoIds: [other, photoId] })).photos.map(({ id }) => id)).toEqual([photoId])
})
