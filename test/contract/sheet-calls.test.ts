/**
 * What is printed, through the service: a sheet put right for a printer, measured on its pixels; the index as a job, with
 * pictures in the colours of the photo, stopped, and with a picture that is gone.
 */
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openAppFiles } from '../../electron/service/app-files.ts'
import { commonGrids } from '../../shared-core/label/sheet/grids.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { type Calibration, type IndexWanted, type Printable, usualPrinting } from '../../shared-core/records/sheet.ts'
import { draft } from '../rack/fresh.ts'
import { darkExtent, rasterise, readQr } from '../rack/raster.ts'
import { benchService } from './bench-service.ts'
import { layoutFor, noHelp, panelPhoto } from './panel-photo.ts'

const wording = { decimal: 'point', units: 'metric' } as const
const off: Calibration = { scaleXPercent: 98.8, scaleYPercent: 101.2, offsetXMm: -1.4, offsetYMm: 0.9 }

const index = (more: Partial<IndexWanted> = {}): IndexWanted => ({
  kind: 'index',
  panelIds: null,
  filter: noFilter,
  sort: 'code',
  groupByGround: false,
  paper: { widthMm: 210, heightMm: 297 },
  columns: 4,
  shows: usualPrinting.shows.index,
  wording,
  ...more,
})

async function withRack() {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'North wall' })
  return service
}

/** A panel with a photo that is filed to it. */
async function withPhoto() {
  const service = await withRack()
  const { call, ended, folder } = service
  const { panel } = await call('panels.save', { draft: draft() })
  const path = await panelPhoto(join(folder, 'a.png'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'a.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  await call('photos.file', {
    photoId,
    panelId: panel.id,
    layout: layoutFor(panel.steps[0]?.id ?? ''),
    lightId: null,
    view: 'face',
    stage: 'dry',
    ...noHelp,
    ageDays: null,
  })
  return { ...service, panel }
}

test('a sheet is put right for its printer as the settings say; a roll for the other printer is left as it is', async () => {
  const { call } = await withRack()
  const { panel } = await call('panels.save', { draft: draft() })
  const calibration = { paper: off, labels: usualPrinting.calibration.labels }
  await call('settings.save', {
    settings: { ...defaultSettings, printing: { ...usualPrinting, calibration } },
  })
  const shared = { kind: 'labels' as const, panelIds: [panel.id], copies: 3, shows: usualPrinting.shows.label, wording }
  const { grid } = commonGrids[0]!
  const sheet: Printable = { ...shared, stock: { on: 'grid', grid, start: 20 } }
  const { pages, pageCount, placement } = await call('sheets.layOut', { wanted: sheet, first: 1 })
  expect(pageCount).toBe(2)
  expect(pages).toHaveLength(1)
  expect(placement.moveXMm).toBeCloseTo(1.4 / 0.988, 9)
  const { documentId, fileName } = await call('sheets.drawPdf', { wanted: sheet })
  expect(fileName).toBe('label P-0001.pdf')
  const { path } = await call('documents.locate', { documentId })
  const [raster] = await rasterise(path, 300)
  expect((await readQr(raster!)).length).toBe(2)
  const symbols = pages[0]!.marks.filter((mark) => mark.kind === 'qr')
  // labels 20 and 21 of 3 × 7: second and third in the last row
  for (const [i, qr] of symbols.entries()) {
    const cellLeft = 7.2 + (i + 1) * (63.5 + 2.5)
    expect(qr.xMm).toBeGreaterThan(cellLeft)
    expect(qr.xMm + qr.sideMm).toBeLessThan(cellLeft + 63.5)
    expect(qr.yMm).toBeGreaterThan(15.1 + 6 * 38.1)
    // looked for a millimetre around where it should be
    const [x, y] = [(qr.xMm + 1.4) / 0.988, (qr.yMm - 0.9) / 1.012]
    const drawn = darkExtent(raster!, x - 1, y - 1, x + qr.sideMm + 1, y + qr.sideMm + 1)
    // what this printer makes of what is drawn
    expect(Math.abs(drawn.left * 0.988 - 1.4 - qr.xMm)).toBeLessThanOrEqual(0.2)
    expect(Math.abs(drawn.top * 1.012 + 0.9 - qr.yMm)).toBeLessThanOrEqual(0.2)
  }
  const roll: Printable = { ...shared, stock: { on: 'roll', size: usualPrinting.labelSize } }
  const { placement: asItIs } = await call('sheets.layOut', { wanted: roll, first: null })
  expect(asItIs).toEqual({ scaleX: 1, scaleY: 1, moveXMm: 0, moveYMm: 0 })
})

test('the page that measures a printer is drawn without its correction, and with it to look', async () => {
  const { call } = await withRack()
  const calibration = { ...usualPrinting.calibration, paper: off }
  await call('settings.save', { settings: { ...defaultSettings, printing: { ...usualPrinting, calibration } } })
  const wanted = { kind: 'calibration' as const, printer: 'paper' as const, size: { widthMm: 210, heightMm: 297 } }
  const plain = await call('sheets.layOut', { wanted: { ...wanted, corrected: false }, first: null })
  expect(plain.placement.scaleX).toBe(1)
  const corrected = await call('sheets.layOut', { wanted: { ...wanted, corrected: true }, first: null })
  expect(corrected.placement.scaleX).toBeCloseTo(1 / 0.988, 9)
})

test('what cannot be is refused in words, and no job begins', async () => {
  const { call, refusal, context } = await withRack()
  const { panel } = await call('panels.save', { draft: draft() })
  const grid = { ...usualPrinting.grid, columns: 4 }
  const wanted = {
    kind: 'labels',
    panelIds: [panel.id],
    stock: { on: 'grid', grid, start: 1 },
    copies: 1,
    shows: [],
    wording,
  }
  const said = await refusal('sheets.drawPdf', { wanted })
  expect(said.code).toBe('sheet/does-not-fit')
  expect(said.message).toContain('268.7 mm across, and the page is 210 mm wide')
  expect(await refusal('sheets.drawIndex', { wanted: index({ panelIds: ['nobody'] }) })).toMatchObject({
    code: 'panel/absent',
  })
  const small = index({ columns: 10, paper: { widthMm: 105, heightMm: 148 } })
  expect(await refusal('sheets.drawIndex', { wanted: small })).toMatchObject({ code: 'sheet/does-not-fit' })
  expect(context.jobs.list().filter(({ kind }) => kind === 'index')).toEqual([])
})

test('the index shows each panel in the colour of its photo', async () => {
  const { call, ended, events } = await withPhoto()
  const { pages } = await call('sheets.layOut', { wanted: index(), first: 1 })
  const picture = pages[0]!.marks.find((mark) => mark.kind === 'picture')!
  const { jobId } = await call('sheets.drawIndex', { wanted: index() })
  const job = await ended(jobId)
  expect(job).toMatchObject({ kind: 'index', state: 'done', done: 1, total: 1 })
  expect(job.document?.fileName).toBe('index of North wall.pdf')
  expect(events.some((event) => event.name === 'job.progressed' && event.data.document)).toBe(true)
  const { path } = await call('documents.locate', { documentId: job.document!.documentId })
  const [raster] = await rasterise(path, 150)
  const at = (mm: number) => Math.round(mm * raster!.dotsPerMm)
  const dot = (at(picture.yMm + picture.heightMm / 2) * raster!.width + at(picture.xMm + picture.widthMm / 2)) * 4
  // the photo's paint is 40, 120, 130 (± its grain and JPEG); which end of a pixel is red does not matter to its middle
  const [one, green, other] = raster!.data.slice(dot, dot + 3)
  expect(Math.abs(green! - 120)).toBeLessThan(8)
  const ends = [one!, other!].toSorted((a, b) => a - b)
  expect(Math.abs(ends[0]! - 40)).toBeLessThan(8)
  expect(Math.abs(ends[1]! - 130)).toBeLessThan(8)
  expect(raster!.text).toContain('P-0001')
})

test('a picture that is gone is said to be, and the index is drawn all the same', async () => {
  const { call, ended, folder } = await withPhoto()
  for (const name of ['photos', 'renditions']) rmSync(join(folder, 'rack', name), { recursive: true, force: true })
  const { jobId } = await call('sheets.drawIndex', { wanted: index() })
  const job = await ended(jobId)
  expect(job.state).toBe('done')
  const { path } = await call('documents.locate', { documentId: job.document!.documentId })
  const [raster] = await rasterise(path, 100)
  expect(raster!.text).toContain('photo missing')
})

test('an index that is stopped, or whose rack is closed, leaves nothing behind', async () => {
  const { call, ended, folder, context } = await withPhoto()
  for (let i = 0; i < 60; i++) await call('panels.save', { draft: draft() })
  const kept = () => readdirSync(join(folder, 'app', 'documents'))
  const before = kept()
  const first = await call('sheets.drawIndex', { wanted: index({ columns: 2 }) })
  await call('jobs.cancel', { jobId: first.jobId })
  const stopped = await ended(first.jobId)
  expect(stopped.state).toBe('cancelled')
  expect(stopped.document ?? null).toBeNull()
  const second = await call('sheets.drawIndex', { wanted: index({ columns: 2 }) })
  await call('rack.close', {})
  expect(context.jobs.list().find(({ id }) => id === second.jobId)?.state).toBe('cancelled')
  expect(kept()).toEqual(before)
})

test('a settings file from before there was printing opens, and so does one that lacks a part of it', async () => {
  const { folder, call } = await withRack()
  await call('settings.save', { settings: { ...defaultSettings, painter: 'Wren' } })
  const path = join(folder, 'app', 'settings.json')
  const { printing, ...older } = JSON.parse(readFileSync(path, 'utf8')) as typeof defaultSettings
  writeFileSync(path, JSON.stringify(older))
  const kept = (await openAppFiles(join(folder, 'app'))).settings()
  const { sheetSeries } = kept.printing
  expect(kept).toEqual({ ...defaultSettings, painter: 'Wren', printing: { ...usualPrinting, sheetSeries } })
  const { indexColumns: _, ...some } = printing
  writeFileSync(
    path,
    JSON.stringify({ ...older, printing: { ...some, sheetSeries, labelSize: { widthMm: 89, heightMm: 36 } } }),
  )
  expect((await openAppFiles(join(folder, 'app'))).settings().printing).toEqual({
    ...usualPrinting,
    sheetSeries,
    labelSize: { widthMm: 89, heightMm: 36 },
  })
})
