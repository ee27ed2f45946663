import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import type { Context } from '../../electron/service/context.ts'
import { dispatch } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import { draft, dump } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'
import { box, layoutFor, noHelp, panelPhoto, sceneLayout, sceneOf } from './panel-photo.ts'

const face = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const

/** A panel, and a photo of it in the tray. */
async function atTheTray() {
  const service = await benchService()
  const { call, ended } = service
  await call('rack.create', { folder: join(service.folder, 'rack'), name: 'Bench' })
  const { panel } = await call('panels.save', { draft: draft() })
  const path = await panelPhoto(join(service.folder, 'a.png'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'a.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  return { ...service, panel, photoId, stepId: panel.steps[0]?.id ?? '' }
}

/** The code of a call's refusal when `meanwhile` happens after its photo was read and before anything is kept. */
async function codeWhen(context: Context, name: string, input: unknown, meanwhile: () => Promise<unknown>) {
  const rack = context.rack()
  const slow: Rack = {
    ...rack,
    change: async (what, work) => {
      await meanwhile()
      return rack.change(what, work)
    },
  }
  const reply = await dispatch(name, input, { ...context, rack: () => slow }, handlers)
  return reply.ok ? 'ok' : reply.error.code
}

test('what is altered while a photo is being read is looked at again before anything is kept', async () => {
  const { call, panel, photoId, stepId, context } = await atTheTray()
  const before = await dump(context.rack())
  const ask = { photoId, panelId: panel.id, layout: layoutFor(stepId), ...face, ageDays: null }
  const dropStep = () => call('panels.save', { draft: { ...panel, steps: panel.steps.slice(1) } })
  expect(await codeWhen(context, 'photos.file', ask, dropStep)).toBe('photo/area-without-step')
  await call('history.undo', {})
  const removePanel = () => call('panels.remove', { panelId: panel.id })
  expect(await codeWhen(context, 'photos.file', ask, removePanel)).toBe('panel/absent')
  await call('history.undo', {})
  const discard = () => call('photos.discard', { photoId })
  expect(await codeWhen(context, 'photos.file', ask, discard)).toBe('photo/absent')
  await call('history.undo', {})
  const [area] = layoutFor(null).areas
  const reference = { photoId, name: 'chip', area, card: null, ...face }
  expect(await codeWhen(context, 'photos.fileReference', reference, discard)).toBe('photo/absent')
  await call('history.undo', {})
  expect(await codeWhen(context, 'photos.mark', { photoId, layout: layoutFor(stepId), ...face }, discard)).toBe(
    'photo/absent',
  )
  await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)
  expect(await codeWhen(context, 'photos.file', ask, () => Promise.resolve())).toBe('ok')
})

test('one photo shows a panel and a reference that is there already: both are read in it', async () => {
  const { call, panel, photoId, stepId, context } = await atTheTray()
  const [area] = layoutFor(null).areas
  const { reference } = await call('photos.fileReference', { photoId, name: 'chip', area: area!, card: null, ...face })
  await call('photos.file', { photoId, panelId: panel.id, layout: layoutFor(stepId), ...face, ageDays: null })
  const before = await dump(context.rack())
  const again = { photoId, name: 'not asked', referenceId: reference.id, area: area!, card: null, ...face }
  const filed = await call('photos.fileReference', again)
  expect(filed.reference).toMatchObject({ id: reference.id, name: 'chip' })
  expect(filed.reference.readings.map((reading) => reading.photoId)).toEqual([photoId, photoId])
  expect((await call('references.list', {})).references).toHaveLength(1)
  // what the panel was read as in the same photo stays
  expect((await call('panels.get', { key: panel.code })).readings.length).toBeGreaterThan(0)
  await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)
  const removed = () => call('references.remove', { referenceId: reference.id })
  expect(await codeWhen(context, 'photos.fileReference', again, removed)).toBe('reference/absent')
})

test('a reference beside a panel in one photo takes none of its areas away, whichever is filed first', async () => {
  const { call, panel, photoId, stepId, context } = await atTheTray()
  const [area] = layoutFor(stepId).areas
  const chip = { stepId: null, shape: { kind: 'quad' as const, quad: box(60, 330, 100, 50) } }
  const asReference = { photoId, name: 'chip', area: chip, card: layoutFor(null).card, ...face }
  const asPanel = { photoId, panelId: panel.id, layout: layoutFor(stepId), ...face, ageDays: null }
  const shown = async () => (await call('panels.get', { key: panel.code })).photos[0]?.layout.areas
  const marked = async () => (await call('photos.get', { photoId })).photo.layout.areas
  const before = await dump(context.rack())

  await call('photos.file', asPanel)
  const { reference } = await call('photos.fileReference', asReference)
  const both = [area, { ...chip, referenceId: reference.id }]
  expect(await shown()).toEqual(both)
  // the panel read anew says nothing of the reference
  await call('photos.file', asPanel)
  expect(await shown()).toEqual(both)
  await call('photos.mark', { photoId, layout: layoutFor(stepId), ...face })
  expect(await shown()).toEqual(both)
  // once it is wanted no longer it is marked no longer either
  await call('references.remove', { referenceId: reference.id })
  await call('photos.file', asPanel)
  expect(await shown()).toEqual([area])
  for (let steps = 0; steps < 6; steps++) await call('history.undo', {})
  expect(await dump(context.rack())).toBe(before)

  const { reference: first } = await call('photos.fileReference', asReference)
  expect(await marked()).toEqual([{ ...chip, referenceId: first.id }])
  await call('photos.file', asPanel)
  expect(await shown()).toEqual([area, { ...chip, referenceId: first.id }])
  // an area that is both stays the panel's
  const again = { ...asReference, referenceId: first.id, area: { ...area!, stepId: null } }
  await call('photos.fileReference', again)
  expect(await shown()).toEqual([area, { ...chip, referenceId: first.id }])
})

test('what was marked for a panel and never filed to it gives way to the reference', async () => {
  const { call, photoId, stepId } = await atTheTray()
  await call('photos.mark', { photoId, layout: layoutFor(stepId), ...face })
  const chip = { stepId: null, shape: { kind: 'quad' as const, quad: box(60, 330, 100, 50) } }
  const asReference = { photoId, name: 'chip', area: chip, card: null, ...face }
  const { reference } = await call('photos.fileReference', asReference)
  const { photo } = await call('photos.get', { photoId })
  expect(photo.layout.areas).toEqual([{ ...chip, referenceId: reference.id }])
})

test('a set-up, light or blank sheet that goes while a photo is being read is missed before anything is kept', async () => {
  const { call, ended, panel, photoId, stepId, folder, context } = await atTheTray()
  const path = await sceneOf('chart', join(folder, 'chart.jpg'))
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'chart.jpg' }] })
  const chartId = (await ended(jobId)).items[0]?.photoId ?? ''
  const { light } = await call('lights.add', { name: 'north lamp', kelvin: null })
  const calibrate = {
    photoId: chartId,
    layout: sceneLayout('chart', null),
    setupId: null,
    name: 'booth',
    lightId: null,
  }
  const { setup } = await call('setups.calibrate', calibrate)
  const told = { photoId, layout: layoutFor(stepId), ...face }
  const filed = { ...told, panelId: panel.id, ageDays: null }
  const [area] = layoutFor(null).areas
  const reference = { photoId, name: 'chip', area, card: null, ...face }
  const remove = () => call('setups.remove', { setupId: setup.id })
  const before = await dump(context.rack())
  for (const [name, input] of [
    ['photos.file', { ...filed, setupId: setup.id }],
    ['photos.fileReference', { ...reference, setupId: setup.id }],
    ['photos.mark', { ...told, setupId: setup.id }],
    ['setups.calibrate', { ...calibrate, setupId: setup.id }],
    ['setups.change', { setupId: setup.id, name: 'x' }],
    ['setups.remove', { setupId: setup.id }],
  ] as const) {
    expect([name, await codeWhen(context, name, input, remove)]).toEqual([name, 'setup/absent'])
    await call('history.undo', {})
  }
  const discard = () => call('photos.discard', { photoId: chartId })
  for (const [name, input] of [
    ['photos.file', { ...filed, flatPhotoId: chartId }],
    ['setups.calibrate', calibrate],
  ] as const) {
    expect([name, await codeWhen(context, name, input, discard)]).toEqual([name, 'photo/absent'])
    await call('history.undo', {})
  }
  expect(await dump(context.rack())).toBe(before)
  await call('history.undo', {})
  // the light was added last now
  const undo = () => call('history.undo', {})
  expect(await codeWhen(context, 'photos.file', { ...filed, lightId: light.id }, undo)).toBe('light/absent')
})

test('a mark on a step that was dropped meanwhile stays, and belongs to no step', async () => {
  const { call, panel, photoId, stepId } = await atTheTray()
  await call('panels.save', { draft: { ...panel, steps: panel.steps.slice(1) } })
  const { photo } = await call('photos.mark', { photoId, layout: layoutFor(stepId), ...face })
  expect(photo.layout).toEqual(layoutFor(null))
})

test('a photo that was filed and thrown away comes back into the tray when it is taken in again', async () => {
  const { call, ended, panel, photoId, stepId, folder } = await atTheTray()
  await call('photos.file', { photoId, panelId: panel.id, layout: layoutFor(stepId), ...face, ageDays: null })
  await call('photos.discard', { photoId })
  const files = [{ path: join(folder, 'a.png'), name: 'a.png' }]
  const { items } = await ended((await call('photos.takeIn', { files })).jobId)
  expect(items).toMatchObject([{ fate: 'taken', photoId }])
  expect((await call('photos.listTray', {})).photos).toMatchObject([{ id: photoId, filed: false }])
  // its reading was kept all the while
  expect((await call('panels.get', { key: panel.id })).readings).toHaveLength(1)
  await call('history.undo', {})
  expect((await call('photos.listTray', {})).photos).toEqual([])
})
