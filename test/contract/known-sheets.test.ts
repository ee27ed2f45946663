/** Printed photo sheets that a chart teaches: learnt from a photo of the tray, used for later photos, forgotten, undone. */
import { join } from 'node:path'
import sharp from 'sharp'
import { expect, test } from 'vitest'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import { draft } from '../rack/fresh.ts'
import { cardThing, chartThings, layout, onWindow, take, upright, withChart } from '../unit/sheet-photo.ts'
import { benchService } from './bench-service.ts'
import { noHelp } from './panel-photo.ts'

const save = ({ data, width, height }: Pixels, path: string) =>
  sharp(data, { raw: { width, height, channels: 3 } })
    .png()
    .toFile(path)

/** A chart on a sheet, and a panel with its card on one of the same series, both in the tray. */
async function atTheTray() {
  const service = await benchService()
  const { call, ended, folder } = service
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  await call('panels.save', { draft: draft() })
  const pictures = {
    chart: take([onWindow([70, 5, 30]), ...chartThings(upright)]),
    panel: take([onWindow([44, 38, 22]), cardThing]),
  }
  const files: Array<{ path: string; name: string }> = []
  for (const [name, pixels] of Object.entries(pictures)) {
    const path = join(folder, `${name}.png`)
    await save(pixels, path)
    files.push({ path, name: `${name}.png` })
  }
  const { items } = await ended((await call('photos.takeIn', { files })).jobId)
  const idOf = (name: string) => items.find((item) => item.name === `${name}.png`)?.photoId ?? ''
  const levelOf = async (lightId?: string | null) => {
    const said = lightId === undefined ? {} : { lightId }
    const { results, photo } = await call('photos.read', { photoId: idOf('panel'), layout, ...noHelp, ...said })
    return { level: results[0]?.colour?.level, codes: photo.map(({ code }) => code) }
  }
  const { lights } = await call('lights.list', {})
  return { ...service, idOf, levelOf, lights }
}

test('a sheet is learnt once and read by in its light; in another it says so; forgotten and brought back', async () => {
  const { call, idOf, levelOf, lights } = await atTheTray()
  const [tubes, sun] = lights
  if (!tubes || !sun) throw new Error('no lights')
  expect(await levelOf(tubes.id)).toMatchObject({ level: 'card' })
  const { sheet } = await call('sheets.learn', { photoId: idOf('chart'), layout: withChart, lightId: tubes.id })
  expect(sheet).toMatchObject({ series: 7, lightId: tubes.id, photoId: idOf('chart') })
  expect(await call('sheets.listKnown', {})).toEqual({ sheets: [sheet] })
  const { photo } = await call('photos.get', { photoId: idOf('chart') })
  expect(photo).toMatchObject({ lightId: tubes.id, layout: withChart })
  // it has served and does not wait any more
  expect((await call('photos.listTray', {})).photos.map(({ id }) => id)).toEqual([idOf('panel')])
  expect(await levelOf(tubes.id)).toEqual({ level: 'sheet', codes: [] })
  expect(await levelOf(sun.id)).toEqual({ level: 'sheet', codes: ['photo/sheet-other-light'] })
  // by the light that the photo itself names
  const circumstances = { view: 'face', stage: 'dry', ...noHelp } as const
  await call('photos.mark', { photoId: idOf('panel'), layout, lightId: tubes.id, ...circumstances })
  expect((await call('photos.get', { photoId: idOf('panel') })).photo.layout.sheet).toEqual(layout.sheet)
  expect(await levelOf()).toEqual({ level: 'sheet', codes: [] })
  const again = await call('sheets.learn', { photoId: idOf('chart'), layout: withChart, lightId: tubes.id })
  expect(again.sheet.id).toBe(sheet.id)
  expect((await call('sheets.listKnown', {})).sheets).toHaveLength(1)
  await call('sheets.forget', { knownSheetId: sheet.id })
  expect(await call('sheets.listKnown', {})).toEqual({ sheets: [] })
  expect((await levelOf()).level).toBe('card')
  const undone = await call('history.undo', {})
  expect(undone.label).toBe('forget photo sheet 7')
  expect((await call('sheets.listKnown', {})).sheets).toHaveLength(1)
}, 60_000)

test('what teaches nothing is refused in words', async () => {
  const { call, idOf, lights } = await atTheTray()
  const photoId = idOf('chart')
  const learn = async (marked: Layout, lightId: string | null = null, of = photoId) =>
    call('sheets.learn', { photoId: of, layout: marked, lightId }).catch((error: { code: string }) => error.code)
  expect(await learn({ ...withChart, sheet: null })).toBe('sheet/not-seen')
  expect(await learn({ ...withChart, chart: null })).toBe('sheet/no-chart')
  expect(await learn({ ...withChart, chart: { quad: onWindow([0, 0, 0]).quad, table: 'avg30' } })).toBe(
    'sheet/unreadable',
  )
  expect(await learn(withChart, 'no such light')).toBe('light/absent')
  expect(await learn(withChart, lights[0]!.id, 'no such photo')).toBe('photo/absent')
  expect(await call('sheets.listKnown', {})).toEqual({ sheets: [] })
  await expect(call('sheets.forget', { knownSheetId: 'none' })).rejects.toMatchObject({ code: 'sheet/absent' })
}, 60_000)

test('a reference that was read beside a panel keeps its area as the sheet is learnt', async () => {
  const { call, idOf } = await atTheTray()
  const photoId = idOf('chart')
  const shape = { kind: 'quad', quad: onWindow([70, 5, 30]).quad } as const
  const { areas: _, ...known } = withChart
  const how = { photoId, ...known, lightId: null, view: 'face', stage: 'dry', ...noHelp } as const
  const { reference } = await call('photos.fileReference', { ...how, name: 'Tank', area: { stepId: null, shape } })
  const { panel } = await call('panels.save', { draft: draft() })
  const step: Layout['areas'][number] = {
    stepId: panel.steps[0]!.id,
    shape: { kind: 'round', centre: [40, 40], radius: 10 },
  }
  await call('sheets.learn', { photoId, layout: { ...withChart, areas: [step] }, lightId: null })
  const { photo } = await call('photos.get', { photoId })
  expect(photo.layout.areas.map(({ stepId, referenceId }) => stepId ?? referenceId)).toEqual([
    step.stepId,
    reference.id,
  ])
}, 60_000)
