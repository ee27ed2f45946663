import { renameSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { CallName } from '../../shared-core/contract/calls.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { draft, dump } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'
import { box, noHelp, sceneLayout, sceneOf } from './panel-photo.ts'

const face = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const
const typed = {
  lab: { l: 40, a: 1, b: 2 },
  illuminant: 'D50',
  observer: '2',
  geometry: '45:0',
  bound90: null,
  view: 'face',
  stage: 'dry',
} as const

/** A panel, and photos of it, of a chart and of a white sheet, all in the tray. */
async function atTheTray() {
  const service = await benchService()
  const { call, ended, folder } = service
  const info = await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  const { panel } = await call('panels.save', { draft: draft() })
  const files: Array<{ path: string; name: string }> = []
  for (const [i, what] of (['chart', 'panel', 'sheet'] as const).entries())
    files.push({ path: await sceneOf(what, join(folder, `${what}.jpg`), i + 1), name: `${what}.jpg` })
  const { items } = await ended((await call('photos.takeIn', { files })).jobId)
  const idOf = (what: string) => items.find(({ name }) => name === `${what}.jpg`)?.photoId ?? ''
  const stepId = panel.steps[0]?.id ?? ''
  return { ...service, rackFolder: info.folder, panel, stepId, idOf, layout: sceneLayout('panel', stepId) }
}

type Tray = Awaited<ReturnType<typeof atTheTray>>
const asked = ({ idOf }: Tray, more: { lightId?: string | null; name?: string; layout?: Layout } = {}) => ({
  photoId: idOf('chart'),
  layout: sceneLayout('chart', null),
  setupId: null,
  name: 'booth',
  lightId: null,
  ...more,
})
const inTray = async ({ call }: Tray) => (await call('photos.listTray', {})).photos.map(({ name }) => name).toSorted()

test('a chart calibrates a set-up once; then it is proposed, read with, and kept with each reading', async () => {
  const tray = await atTheTray()
  const { call, idOf, panel, layout } = tray
  const photoId = idOf('panel')
  expect(await call('photos.get', { photoId })).toMatchObject({ proposedSetupId: null })
  const { setup } = await call('setups.calibrate', asked(tray))
  expect(setup).toMatchObject({ name: 'booth', camera: 'Flint 2', photoId: idOf('chart'), notes: '' })
  expect(await call('setups.list', {})).toEqual({ setups: [setup] })
  expect((await call('photos.get', { photoId: idOf('chart') })).photo.layout).toEqual(sceneLayout('chart', null))
  // the chart has served: it does not wait any more
  expect(await inTray(tray)).toEqual(['panel.jpg', 'sheet.jpg'])
  expect(await call('photos.get', { photoId })).toMatchObject({ proposedSetupId: setup.id })
  const help = { setupId: setup.id, flatPhotoId: null }
  const [plain] = (await call('photos.read', { photoId, layout, ...noHelp })).results
  const [read] = (await call('photos.read', { photoId, layout, ...help })).results
  expect(plain?.colour?.level).toBe('card')
  expect(read?.colour?.level).toBe('set-up')
  expect(read?.colour?.bound90).toBeLessThan(plain?.colour?.bound90 ?? 0)
  const { readings } = await call('photos.file', {
    photoId,
    panelId: panel.id,
    layout,
    ...face,
    ...help,
    ageDays: null,
  })
  expect(readings).toMatchObject([{ setupId: setup.id, level: 'set-up' }])
  const got = await call('panels.get', { key: panel.id })
  expect(got.readings).toMatchObject([{ id: readings[0]?.id, setupId: setup.id }])
  expect(got.photos).toMatchObject([{ setupId: setup.id, flatPhotoId: null }])
  // as a reference, found by the panel of the same photo
  const { reference } = await call('photos.fileReference', {
    photoId: idOf('sheet'),
    name: 'white',
    area: { stepId: null, shape: { kind: 'quad', quad: box(60, 60, 90, 90) } },
    card: { quad: box(430, 30, 130, 130), lab: { l: 90, a: 0, b: 0 } },
    mmPerPixel: 0.2,
    ...face,
    ...help,
  })
  expect(reference.readings).toMatchObject([{ setupId: setup.id }])
  expect((await call('photos.get', { photoId: idOf('sheet') })).photo.layout.mmPerPixel).toBe(0.2)
  const { matches } = await call('match.findNearest', {
    to: { readingId: reference.readings[0]?.id ?? '' },
    filter: noFilter,
    limit: 5,
    readings: { view: null, lightId: null },
  })
  expect(matches).toMatchObject([{ reading: { id: readings[0]?.id, setupId: setup.id } }])
})

test('a set-up is calibrated again, renamed and removed; readings stay, reading again says what to do', async () => {
  const tray = await atTheTray()
  const { call, refusal, idOf, panel, layout } = tray
  const { lights } = await call('lights.list', {})
  const lightId = lights[0]?.id ?? ''
  const { setup } = await call('setups.calibrate', asked(tray))
  const setupId = setup.id
  const again = await call('setups.calibrate', { ...asked(tray, { lightId, name: 'booth 2' }), setupId })
  expect(again.setup).toMatchObject({ id: setupId, name: 'booth 2', lightId, createdAt: setup.createdAt })
  const changed = await call('setups.change', { setupId, notes: 'on the tripod' })
  expect(changed.setup).toEqual({ ...again.setup, notes: 'on the tripod' })
  const photoId = idOf('panel')
  const help = { setupId, flatPhotoId: null }
  const ask = { photoId, panelId: panel.id, layout, ...face, ...help, ageDays: null }
  const { readings } = await call('photos.file', ask)
  await call('setups.remove', { setupId })
  expect((await call('panels.get', { key: panel.id })).readings.map(({ id }) => id)).toEqual(
    readings.map(({ id }) => id),
  )
  expect(await call('photos.get', { photoId })).toMatchObject({ photo: { setupId }, proposedSetupId: null })
  for (const [name, input] of [
    ['photos.read', { photoId, layout, ...help }],
    ['photos.file', ask],
    ['setups.change', { setupId, name: 'x' }],
    ['setups.remove', { setupId }],
    ['setups.calibrate', { ...asked(tray), setupId }],
  ] as const) {
    const refused = await refusal(name, input)
    expect(refused.code).toBe('setup/absent')
    expect(refused.remedy).not.toBe('')
  }
  // marks are kept all the same: the photo names that set-up already
  await call('photos.mark', { photoId, layout: sceneLayout('panel', null), ...face, ...help })
  await call('history.undo', {})
  await call('history.undo', {})
  expect((await call('photos.read', { photoId, layout, ...help })).results[0]?.colour?.level).toBe('set-up')
  // the whole way back
  while ((await call('rack.describe', {})).rack?.undo !== 'take in 3 photos') await call('history.undo', {})
  expect(await call('setups.list', {})).toEqual({ setups: [] })
  expect(await inTray(tray)).toEqual(['chart.jpg', 'panel.jpg', 'sheet.jpg'])
  expect(await refusal('photos.read', { photoId, layout, ...help })).toMatchObject({ code: 'setup/absent' })
})

test('a photo without a chart, or with something else marked as one, calibrates nothing', async () => {
  const tray = await atTheTray()
  const { refusal, context, idOf } = tray
  const before = await dump(context.rack())
  const without = sceneLayout('panel', null)
  expect(await refusal('setups.calibrate', asked(tray, { layout: without }))).toMatchObject({ code: 'setup/no-chart' })
  const sheet = { ...asked(tray), photoId: idOf('sheet') }
  expect(await refusal('setups.calibrate', sheet)).toMatchObject({ code: 'setup/chart-unreadable' })
  expect(await refusal('setups.calibrate', { ...sheet, photoId: 'none' })).toMatchObject({ code: 'photo/absent' })
  expect(await dump(context.rack())).toBe(before)
})

test('a light, set-up or blank sheet that was undone is told as such, wherever it is named', async () => {
  const tray = await atTheTray()
  const { call, refusal, context, idOf, panel, stepId, layout } = tray
  const before = await dump(context.rack())
  const { light } = await call('lights.add', { name: 'north lamp', kelvin: 5000 })
  await call('history.undo', {})
  const { setup } = await call('setups.calibrate', asked(tray))
  await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)
  const photoId = idOf('panel')
  const area = layout.areas[0]
  const naming = (help: Partial<Record<'lightId' | 'setupId' | 'flatPhotoId', string>>) => {
    const told = { photoId, ...face, ...help }
    return {
      'photos.mark': { ...told, layout },
      'photos.file': { ...told, layout, panelId: panel.id, ageDays: null },
      'photos.fileReference': { ...told, name: 'chip', area, card: layout.card },
      'photos.read': { ...told, layout },
    } as const
  }
  const gone: Array<readonly [CallName, unknown, string]> = []
  for (const [name, input] of Object.entries(naming({ lightId: light.id })))
    if (name !== 'photos.read') gone.push([name as CallName, input, 'light/absent'])
  for (const [name, input] of Object.entries(naming({ setupId: setup.id })))
    gone.push([name as CallName, input, 'setup/absent'])
  for (const [name, input] of Object.entries(naming({ flatPhotoId: 'none' })))
    gone.push([name as CallName, input, 'photo/absent'])
  for (const [name, input] of Object.entries(naming({ flatPhotoId: photoId })))
    gone.push([name as CallName, input, 'service/bad-input'])
  const lightId = light.id
  gone.push(['readings.addTyped', { ...typed, lightId, stepId }, 'light/absent'])
  gone.push(['references.addTyped', { ...typed, lightId, name: 'chip' }, 'light/absent'])
  gone.push(['setups.calibrate', asked(tray, { lightId }), 'light/absent'])
  for (const [name, input, code] of gone)
    expect({ name, code: (await refusal(name, input)).code }).toEqual({ name, code })
  expect(await dump(context.rack())).toBe(before)
  const kept = (await call('setups.calibrate', asked(tray))).setup
  const change = await refusal('setups.change', { setupId: kept.id, lightId })
  expect(change.code).toBe('light/absent')
})

test('a blank sheet is chosen, used, found again, and missed when it is gone', async () => {
  const tray = await atTheTray()
  const { call, refusal, idOf, rackFolder, layout } = tray
  const photoId = idOf('panel')
  const flatPhotoId = idOf('sheet')
  const help = { setupId: null, flatPhotoId }
  const flats = async () => (await call('photos.listFlats', { photoId })).photos.map(({ name }) => name).toSorted()
  expect(await flats()).toEqual(['chart.jpg', 'sheet.jpg'])
  expect((await call('photos.read', { photoId, layout, ...help })).results[0]?.colour).not.toBeNull()
  const { photo } = await call('photos.mark', { photoId, layout, ...face, ...help })
  expect(photo).toMatchObject({ flatPhotoId, setupId: null })
  expect(await inTray(tray)).toEqual(['chart.jpg', 'panel.jpg'])
  expect(await flats()).toEqual(['chart.jpg', 'sheet.jpg'])
  const sheet = (await call('photos.get', { photoId: flatPhotoId })).photo
  const original = join(rackFolder, 'photos', sheet.sha256.slice(0, 2), `${sheet.sha256}.jpg`)
  renameSync(original, `${original}.away`)
  const missing = await refusal('photos.read', { photoId, layout, ...help })
  expect(missing).toMatchObject({ code: 'photo/original-missing', message: expect.stringContaining('sheet.jpg') })
  renameSync(`${original}.away`, original)
  await call('photos.discard', { photoId: flatPhotoId })
  expect(await refusal('photos.read', { photoId, layout, ...help })).toMatchObject({ code: 'photo/absent' })
  expect(await flats()).toEqual(['chart.jpg'])
  await call('photos.mark', { photoId, layout, ...face, ...help })
  await call('photos.mark', { photoId, layout, ...face })
  for (let i = 0; i < 4; i++) await call('history.undo', {})
  expect(await inTray(tray)).toEqual(['chart.jpg', 'panel.jpg', 'sheet.jpg'])
})
