import { statSync } from 'node:fs'
import { join } from 'node:path'
import sharp from 'sharp'
import { expect, test } from 'vitest'
import { locatePicture } from '../../electron/service/pictures.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { draft } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'
import { layoutFor, noHelp, panelPhoto } from './panel-photo.ts'

const face = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const
const typed = {
  lab: { l: 40, a: 20, b: 10 },
  illuminant: 'D50',
  observer: '2',
  geometry: '45:0',
  bound90: 0.5,
  view: 'face',
  stage: 'cleared',
  lightId: null,
} as const

/** A panel with one photographed step, and a typed reference. */
async function laidOut() {
  const service = await benchService()
  const { call, ended } = service
  await call('rack.create', { folder: join(service.folder, 'rack'), name: 'Bench' })
  const { panel } = await call('panels.save', { draft: draft() })
  const path = await panelPhoto(join(service.folder, 'a.png'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'a.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  const stepId = panel.steps[0]?.id ?? ''
  const layout = layoutFor(stepId)
  const { readings } = await call('photos.file', { photoId, panelId: panel.id, layout, ...face, ageDays: null })
  const { reference } = await call('references.addTyped', { name: 'Chip', ...typed })
  const reading = readings[0]
  if (!reading) throw new Error('nothing was read')
  return { ...service, panel, photoId, stepId, layout, reading, reference }
}

test('a panel, a step, a reading, a reference and a point lie beside each other, each by its name', async () => {
  const { call, panel, stepId, photoId, reading, reference } = await laidOut()
  const { shown, missing } = await call('side.readItems', {
    items: [
      { kind: 'panel', id: panel.id },
      { kind: 'step', id: stepId },
      { kind: 'reading', id: reading.id },
      { kind: 'reference', id: reference.id },
      { kind: 'point', photoId, x: 0.25, y: 0.5 },
    ],
  })
  expect(missing).toEqual([null, null, null, null, null])
  expect(shown.slice(0, 3).map((each) => each?.reading.id)).toEqual([reading.id, reading.id, reading.id])
  expect(shown[0]?.panel).toMatchObject({ id: panel.id, code: panel.code, coats: panel.steps[0]?.coats })
  expect(shown[0]?.readingIds).toEqual([reading.id])
  // the inside of 200 × 260 pixels, 4 % off each side; the photo says no scale
  expect(shown[0]?.photo).toEqual({ widthPx: 184, heightPx: 239, mmPerPixel: null })
  expect(shown[3]).toMatchObject({ name: 'Chip', panel: null, photo: null, reading: { level: 'typed' } })
  expect(shown[4]?.name).toBe('Point in a.png')
  // the point lies on the same paint
  const apart = differenceCiede2000(shown[4]!.reading.lab, reading.lab)
  expect(apart).toBeLessThan(1)
})

test('the reading shown of a step is the face before other views, then the surest that has a photo', async () => {
  const { call, stepId, reading } = await laidOut()
  await call('readings.addTyped', { stepId, ...typed, bound90: 0.1 })
  await call('readings.addTyped', { stepId, ...typed, view: 'flop', bound90: 0.1 })
  const { shown } = await call('side.readItems', { items: [{ kind: 'step', id: stepId }] })
  expect(shown[0]?.reading.id).toBe(reading.id)
  expect(shown[0]?.readingIds).toHaveLength(3)
})

test('what is gone leaves its place empty and says why; the others are shown', async () => {
  const { call, panel, reading, reference } = await laidOut()
  const { panel: bare } = await call('panels.save', { draft: draft() })
  const items = [
    { kind: 'panel', id: panel.id },
    { kind: 'reference', id: reference.id },
    { kind: 'panel', id: bare.id },
    { kind: 'step', id: 'no-such-step' },
    { kind: 'reading', id: reading.id },
  ] as const
  await call('panels.remove', { panelId: panel.id })
  const { shown, missing } = await call('side.readItems', { items: [...items] })
  expect(shown.map((each) => each?.name ?? null)).toEqual([null, 'Chip', null, null, null])
  expect(missing.map((each) => each?.message.length ?? 0).filter((length) => length > 10)).toHaveLength(4)
  expect(missing[2]?.message).toBe('There is no colour of it yet.')
  await call('history.undo', {})
  const again = await call('side.readItems', { items: [...items] })
  expect(again.shown[0]?.reading.id).toBe(reading.id)
})

test('a corrected picture is made once, in the colours of the screen, and shows the reading', async () => {
  const { call, context, reading, photoId } = await laidOut()
  const of = { kind: 'reading', id: reading.id } as const
  const [first, wide] = [
    await call('side.correctPhoto', { of, space: 'sRGB' }),
    await call('side.correctPhoto', { of, space: 'Display P3' }),
  ]
  expect(first.picture).toMatch(/^corrected\/[0-9a-f]{32}$/)
  expect(wide.picture).not.toBe(first.picture)
  expect(differenceCiede2000(first.mean, reading.lab)).toBeLessThan(0.4)
  expect(differenceCiede2000(wide.mean, first.mean)).toBeLessThan(0.01)
  const { path, type } = await locatePicture(context.rack(), first.picture)
  expect(type).toBe('image/webp')
  const { width, height, format } = await sharp(path).metadata()
  expect([width, height, format]).toEqual([first.widthPx, first.heightPx, 'webp'])
  const { ino } = statSync(path)
  expect(await call('side.correctPhoto', { of, space: 'sRGB' })).toEqual(first)
  expect(statSync(path).ino).toBe(ino)
  const point = await call('side.correctPhoto', { of: { kind: 'point', photoId, x: 0.25, y: 0.5 }, space: 'sRGB' })
  expect(differenceCiede2000(point.mean, reading.lab)).toBeLessThan(1)
})

test('a picture that was cleared away is made again, and is refused by its name alone', async () => {
  const { call, context, reading } = await laidOut()
  const of = { kind: 'reading', id: reading.id } as const
  const made = await call('side.correctPhoto', { of, space: 'sRGB' })
  const { rm } = await import('node:fs/promises')
  await rm(join(context.rack().folder, 'renditions', 'corrected'), { recursive: true })
  await expect(locatePicture(context.rack(), made.picture)).rejects.toMatchObject({ code: 'picture/absent' })
  expect(await call('side.correctPhoto', { of, space: 'sRGB' })).toEqual(made)
  await locatePicture(context.rack(), made.picture)
})

test('asked for twice at once it is made once', async () => {
  const { call, reading } = await laidOut()
  const ask = () => call('side.correctPhoto', { of: { kind: 'reading', id: reading.id }, space: 'Display P3' })
  const [one, other] = await Promise.all([ask(), ask()])
  expect(other).toEqual(one)
})

test('a typed colour has no photo, and a reading whose photo was marked otherwise since is not shown in a wrong one', async () => {
  const { call, refusal, reading, reference, photoId, layout } = await laidOut()
  const asked = (id: string) => ({ of: { kind: 'reading', id }, space: 'sRGB' })
  expect((await refusal('side.correctPhoto', asked(reference.readings[0]?.id ?? ''))).code).toBe('side/no-photo')
  expect((await refusal('side.correctPhoto', asked('no-such-reading'))).code).toBe('reading/absent')
  // the card is said to be much darker than it is: everything in the photo reads darker
  const card = { quad: layout.card!.quad, lab: { l: 25, a: 0, b: 0 } }
  await call('photos.mark', { photoId, layout: { ...layout, card }, ...face })
  const refused = await refusal('side.correctPhoto', asked(reading.id))
  expect(refused.code).toBe('side/reads-otherwise')
  expect(refused.remedy).toContain('File the photo again')
})
