import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import sharp from 'sharp'
import { afterEach, expect, test, vi } from 'vitest'
import { openAppFiles } from '../../electron/service/app-files.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { usualPrinting } from '../../shared-core/records/sheet.ts'
import { draft, dump, photoFile } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'
import { box, layoutFor, noHelp, panelPhoto } from './panel-photo.ts'

afterEach(() => void vi.restoreAllMocks())

async function benchWithRack() {
  const service = await benchService()
  const info = await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Bench' })
  return { ...service, info, desk: service.folder }
}

const face = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const

test('a rack is made, described, closed, found among the recent ones and opened again', async () => {
  const { call, refusal, events, info } = await benchWithRack()
  expect(info).toMatchObject({ name: 'Bench', panelCount: 0, trayCount: 0, undo: null, redo: null })
  await call('panels.save', { draft: draft() })
  expect(await call('rack.describe', {})).toMatchObject({ rack: { panelCount: 1, undo: 'add panel P-0001' } })
  await call('rack.close', {})
  expect(await call('rack.listRecent', {})).toMatchObject({
    racks: [{ folder: info.folder, name: 'Bench', present: true }],
  })
  expect(await call('rack.open', { folder: `${info.folder}/` })).toMatchObject({ folder: info.folder, panelCount: 1 })
  expect(await refusal('rack.create', { folder: info.folder, name: 'x' })).toMatchObject({ code: 'rack/already-one' })
  // a refused opening leaves the open rack open
  expect(await refusal('rack.open', { folder: join(info.folder, 'photos') })).toMatchObject({ code: 'rack/not-a-rack' })
  expect(await call('panels.list', { filter: noFilter, sort: 'code' })).toMatchObject({ total: 1 })
  await call('rack.forgetRecent', { folder: info.folder })
  expect(await call('rack.listRecent', {})).toEqual({ racks: [] })
  expect(events.map(({ name }) => name)).toEqual(['rack.opened', 'rack.changed', 'rack.closed', 'rack.opened'])
})

test('settings are kept; a file that makes no sense is set aside, not overwritten', async () => {
  const { call, folder, events } = await benchService()
  const { printing } = defaultSettings
  const settings = {
    ...defaultSettings,
    painter: 'Wren',
    sameLimit: 0.8,
    printing: { ...printing, sheetSeries: 41_273 },
  }
  await call('settings.save', { settings })
  expect(await call('settings.get', {})).toEqual({ settings })
  expect(events).toEqual([{ name: 'settings.changed', data: {} }])
  const path = join(folder, 'app', 'settings.json')
  expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual(settings)

  vi.spyOn(console, 'error').mockImplementation(() => undefined)
  writeFileSync(path, '{"painter": "Wr')
  const again = await openAppFiles(join(folder, 'app'))
  // the number of the sheets that this computer prints is chosen once, by chance
  const { sheetSeries } = again.settings().printing
  expect(sheetSeries).toBeGreaterThan(0)
  expect(again.settings()).toEqual({ ...defaultSettings, printing: { ...defaultSettings.printing, sheetSeries } })
  expect((await openAppFiles(join(folder, 'app'))).settings().printing.sheetSeries).toBe(sheetSeries)
  expect(readFileSync(`${path}.damaged`, 'utf8')).toBe('{"painter": "Wr')
  // an older version's file, which lacks a setting, is whole all the same
  writeFileSync(path, JSON.stringify({ ...settings, sameLimit: undefined }))
  expect((await openAppFiles(join(folder, 'app'))).settings()).toEqual({ ...settings, sameLimit: 1 })
})

test('a photo goes from a file to a filed reading, a match and back again by undo', async () => {
  const { call, refusal, ended, desk, context, events } = await benchWithRack()
  const { panel } = await call('panels.save', { draft: draft({ status: 'planned' }) })
  const stepId = panel.steps[1]?.id ?? ''
  const path = await panelPhoto(join(desk, 'panel.png'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'panel.png' }] })
  const job = await ended(jobId)
  expect(job).toMatchObject({ state: 'done', done: 1, total: 1, items: [{ fate: 'taken', why: null }] })
  const [photo] = (await call('photos.listTray', {})).photos
  if (!photo) throw new Error('The tray is empty')
  expect(photo).toMatchObject({ width: 600, height: 400, format: 'png', filed: false, name: 'panel.png' })
  const before = await dump(context.rack())

  const ask = { photoId: photo.id, panelId: panel.id, ...face, ageDays: 2 }
  expect(await refusal('photos.file', { ...ask, layout: { areas: [], card: null } })).toMatchObject({
    code: 'photo/nothing-marked',
  })
  expect(await refusal('photos.file', { ...ask, layout: layoutFor(null) })).toMatchObject({
    code: 'photo/area-without-step',
  })
  const tiny: Layout = { areas: [{ stepId, shape: { kind: 'quad', quad: box(60, 60, 2, 2) } }], card: null }
  expect(await refusal('photos.file', { ...ask, layout: tiny })).toMatchObject({ code: 'photo/nothing-readable' })
  expect(await dump(context.rack())).toBe(before)

  const { readings, results } = await call('photos.file', { ...ask, layout: layoutFor(stepId) })
  expect(readings).toHaveLength(1)
  expect(results[0]?.colour?.lab).toEqual(readings[0]?.lab)
  const got = await call('panels.get', { key: 'p-0001' })
  expect(got).toMatchObject({
    panel: { status: 'sprayed' },
    readings: [{ stepId, photoId: photo.id, level: 'card', ageDays: 2 }],
    photos: [{ id: photo.id, filed: true, layout: layoutFor(stepId) }],
    summary: { bands: [{ lab: null }, { lab: readings[0]?.lab, cut: readings[0]?.cut }] },
  })
  expect((await call('photos.listTray', {})).photos).toEqual([])

  const { reference } = await call('references.addTyped', {
    name: 'chip',
    lab: readings[0]?.lab ?? { l: 0, a: 0, b: 0 },
    illuminant: 'D50',
    observer: '2',
    geometry: '45:0',
    bound90: null,
    view: 'face',
    stage: 'dry',
    lightId: null,
  })
  const found = await call('match.findNearest', {
    to: { readingId: reference.readings[0]?.id ?? '' },
    filter: noFilter,
    readings: { view: null, lightId: null },
    limit: 5,
  })
  expect(found).toMatchObject({
    considered: 1,
    matches: [{ panel: { code: 'P-0001' }, stepId, coats: 4, couldBeSame: true }],
  })
  expect(found.matches[0]?.de00).toBeCloseTo(0, 9)
  expect(found.matches[0]?.candyLayers[0]?.mixture?.parts).toHaveLength(2)

  expect(await call('history.undo', {})).toEqual({ label: 'add reference chip' })
  await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)
  await call('history.redo', {})
  expect((await call('panels.get', { key: 'P-0001' })).readings).toEqual(got.readings)
  expect(events.filter(({ name }) => name === 'rack.changed').length).toBeGreaterThan(5)
})

test('pictures are made on demand, once, inside the renditions, and only for keys of the one form', async () => {
  const { call, refusal, ended, desk, info } = await benchWithRack()
  const { panel } = await call('panels.save', { draft: draft() })
  const stepId = panel.steps[0]?.id ?? ''
  const path = await panelPhoto(join(desk, 'panel.png'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'panel.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  const filed = await call('photos.file', {
    photoId,
    panelId: panel.id,
    layout: layoutFor(stepId),
    ...face,
    ageDays: null,
  })
  const { photo } = await call('photos.get', { photoId })
  for (const key of [`photo/${photo.sha256}/thumb`, `photo/${photo.sha256}/full`, `cut/${filed.readings[0]?.cut}`]) {
    const [one, two] = await Promise.all([call('pictures.locate', { key }), call('pictures.locate', { key })])
    expect(one).toEqual(two)
    expect(one.inside).toBe(join(info.folder, 'renditions'))
    expect(one.path.startsWith(join(one.inside, '/'))).toBe(true)
    expect((await sharp(one.path).metadata()).format).toBe('webp')
  }
  const bad = [
    'photo/../../rack.sqlite/thumb',
    `photo/${photo.sha256}/huge`,
    `photo/${'0'.repeat(64)}/thumb`,
    'cut/..',
    'x',
  ]
  for (const key of bad) expect(await refusal('pictures.locate', { key })).toMatchObject({ code: 'picture/absent' })
})

test('the last layout of a photo of like proportions is proposed, fitted, without steps', async () => {
  const { call, ended, desk } = await benchWithRack()
  const files = [
    { path: await panelPhoto(join(desk, 'a.png')), name: 'a.png' },
    { path: await photoFile(join(desk, 'b.jpg'), 1, 300, 200), name: 'b.jpg' },
    { path: await photoFile(join(desk, 'c.jpg'), 2, 200, 200), name: 'c.jpg' },
  ]
  const { jobId } = await call('photos.takeIn', { files })
  const { items } = await ended(jobId)
  const idOf = (name: string) => items.find((item) => item.name === name)?.photoId ?? ''
  expect((await call('photos.get', { photoId: idOf('b.jpg') })).proposed).toBeNull()
  const layout = layoutFor('some step')
  layout.areas.push({ stepId: null, shape: { kind: 'round', centre: [100, 50], radius: 20 } })
  layout.areas[0] = { ...layout.areas[0]!, stepId: null }
  await call('photos.mark', { photoId: idOf('a.png'), layout, ...face })
  const { proposed } = await call('photos.get', { photoId: idOf('b.jpg') })
  expect(proposed).toEqual({
    areas: [
      { stepId: null, shape: { kind: 'quad', quad: box(30, 30, 100, 130) } },
      { stepId: null, shape: { kind: 'round', centre: [50, 25], radius: 10 } },
    ],
    card: { quad: box(200, 30, 80, 140), lab: { l: 50, a: 0, b: 0 } },
  })
  expect((await call('photos.get', { photoId: idOf('c.jpg') })).proposed).toBeNull()
  expect((await call('photos.get', { photoId: idOf('a.png') })).proposed).toBeNull()
})

test('an original that is gone is told as such', async () => {
  const { call, refusal, ended, desk, info } = await benchWithRack()
  const path = await panelPhoto(join(desk, 'a.png'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'a.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  const { photo } = await call('photos.get', { photoId })
  const original = join(info.folder, 'photos', photo.sha256.slice(0, 2), `${photo.sha256}.png`)
  expect(readFileSync(original).equals(readFileSync(path))).toBe(true)
  renameSync(original, join(desk, 'elsewhere'))
  expect(await refusal('photos.read', { photoId, layout: layoutFor(null), ...noHelp })).toMatchObject({
    code: 'photo/original-missing',
  })
  // a disk that lost half of it
  writeFileSync(original, readFileSync(path).subarray(0, 2000))
  const damaged = await refusal('photos.read', { photoId, layout: layoutFor(null), ...noHelp })
  expect(damaged.code).toBe('photo/original-missing')
  expect(damaged.message).toContain('its drive has altered it')
})

test('a photo filed again corrects what it said before; undo gives the earlier reading back', async () => {
  const { call, ended, desk } = await benchWithRack()
  const { panel } = await call('panels.save', { draft: draft() })
  const stepId = panel.steps[1]?.id ?? ''
  const path = await panelPhoto(join(desk, 'a.png'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'a.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  const ask = { photoId, panelId: panel.id, ...face, ageDays: null }
  const first = await call('photos.file', { ...ask, layout: layoutFor(stepId) })
  const moved: Layout = {
    ...layoutFor(stepId),
    areas: [{ stepId, shape: { kind: 'quad', quad: box(80, 80, 160, 200) } }],
  }
  const second = await call('photos.file', { ...ask, layout: moved })
  const readings = async () => (await call('panels.get', { key: panel.id })).readings.map((reading) => reading.id)
  expect(await readings()).toEqual(second.readings.map((reading) => reading.id))
  await call('history.undo', {})
  expect(await readings()).toEqual(first.readings.map((reading) => reading.id))
})

test('labels are drawn into a document that only its id finds', async () => {
  const { call, refusal } = await benchWithRack()
  const { panel } = await call('panels.save', { draft: draft() })
  const wanted = {
    kind: 'labels' as const,
    panelIds: [panel.id],
    stock: { on: 'roll' as const, size: { widthMm: 89, heightMm: 36 } },
    copies: 1,
    shows: [...usualPrinting.shows.label],
    wording: { decimal: 'point', units: 'metric' } as const,
  }
  const { pages } = await call('sheets.layOut', { wanted, first: null })
  const { documentId, pageCount, fileName } = await call('sheets.drawPdf', { wanted })
  expect(pageCount).toBe(pages.length)
  expect(fileName).toBe('label P-0001.pdf')
  const located = await call('documents.locate', { documentId })
  expect(readFileSync(located.path).toString('latin1', 0, 5)).toBe('%PDF-')
  expect(located.path.startsWith(located.inside)).toBe(true)
  for (const id of ['../settings', '0'.repeat(32)])
    expect(await refusal('documents.locate', { documentId: id })).toMatchObject({ code: 'document/absent' })
  expect(await refusal('sheets.layOut', { wanted: { ...wanted, panelIds: ['nobody'] }, first: 1 })).toMatchObject({
    code: 'panel/absent',
  })
})

test('lights, references and typed readings', async () => {
  const { call, refusal } = await benchWithRack()
  const { light } = await call('lights.add', { name: 'north window', kelvin: 6800 })
  expect(await refusal('lights.add', { name: 'North Window', kelvin: null })).toMatchObject({
    code: 'light/name-taken',
  })
  const { panel } = await call('panels.save', { draft: draft() })
  const typed = {
    lab: { l: 104.2, a: -0.5, b: 3 },
    illuminant: 'D65',
    observer: '10',
    geometry: 'd:8-included',
    bound90: null,
    view: 'face',
    stage: 'cured',
    lightId: light.id,
  } as const
  const { reading } = await call('readings.addTyped', { ...typed, stepId: panel.steps[0]?.id ?? '' })
  // kept as given, L* above 100 too
  expect(reading).toMatchObject({ ...typed, bound90: 1, level: 'typed' })
  expect(await refusal('readings.addTyped', { ...typed, stepId: 'none' })).toMatchObject({ code: 'step/absent' })
  await call('readings.remove', { readingId: reading.id })
  expect(await refusal('readings.remove', { readingId: reading.id })).toMatchObject({ code: 'reading/absent' })
  const { reference } = await call('references.addTyped', { ...typed, name: 'tank chip' })
  await call('references.rename', { referenceId: reference.id, name: 'tank, left' })
  expect((await call('references.list', {})).references.map(({ name }) => name)).toEqual(['tank, left'])
  await call('references.remove', { referenceId: reference.id })
  expect(await refusal('references.get', { referenceId: reference.id })).toMatchObject({ code: 'reference/absent' })
  await call('history.undo', {})
  expect((await call('references.get', { referenceId: reference.id })).reference.name).toBe('tank, left')
})

test('a suggested folder is free and has a name that every system takes', async () => {
  const { call, folder } = await benchService()
  process.env.OVERGROUND_RACKS = folder
  try {
    const first = await call('rack.suggestFolder', { name: 'Big: rack / two?' })
    expect(first.folder).toBe(join(folder, 'Big rack two'))
    mkdirSync(first.folder)
    writeFileSync(join(first.folder, 'x'), '')
    expect((await call('rack.suggestFolder', { name: 'Big: rack / two?' })).folder).toBe(join(folder, 'Big rack two 2'))
    expect(existsSync(join(folder, 'Big rack two 2'))).toBe(false)
  } finally {
    delete process.env.OVERGROUND_RACKS
  }
})
