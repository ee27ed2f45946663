import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { proposedLayout, readLayouts, saveLayout } from '../../electron/rack/queries/layouts.ts'
import { addPhoto, discardPhoto, listTray, readPhotoRecord } from '../../electron/rack/queries/photos.ts'
import { describeRack } from '../../electron/rack/queries/rack-info.ts'
import { keepCalibration, removeSetup } from '../../electron/rack/queries/setups.ts'
import { listFlatIds } from '../../electron/rack/queries/tray.ts'
import type { Layout, Quad, Tile } from '../../shared-core/records/area.ts'
import { freshRack, newPhoto, setupFit } from './fresh.ts'

const quadAt = (x: number, y: number, side: number): Quad => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
]

const add = (rack: Rack, id: string, more: Parameters<typeof newPhoto>[1] = {}) =>
  rack.change({ label: `take in ${id}` }, (change) => addPhoto(change, newPhoto(id, more)))
const mark = (rack: Rack, id: string, layout: Layout) =>
  rack.change({ label: `mark ${id}` }, (change) => saveLayout(change, newPhoto(id), layout))
const layoutOf = async (rack: Rack, id: string) => (await readLayouts(rack.db, [id])).get(id)

const quad = fc
  .tuple(fc.nat(3000), fc.nat(2000), fc.integer({ min: 10, max: 900 }))
  .map(([x, y, side]) => quadAt(x, y, side))
// no −0, which JSON does not have
const figure = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((value) => value + 0)
const lab = fc.record({ l: figure(1, 100), a: figure(-3, 3), b: figure(-3, 3) })
const tile: fc.Arbitrary<Tile> = fc.record({ quad, lab, kind: fc.constantFrom('white', 'grey', 'black') })
const layout: fc.Arbitrary<Layout> = fc.record({
  areas: fc.array(fc.record({ stepId: fc.constant(null), shape: fc.record({ kind: fc.constant('quad'), quad }) }), {
    maxLength: 4,
  }),
  card: fc.option(fc.record({ quad, lab })),
  tiles: fc.array(tile, { maxLength: 8 }),
  chart: fc.option(fc.record({ quad, table: fc.constant('avg30' as const) })),
  mmPerPixel: fc.option(figure(0.001, 5)),
})
/** What was not marked is left out. */
const spare = ({ tiles, chart, mmPerPixel, ...rest }: Layout): Layout => ({
  ...rest,
  ...(tiles?.length && { tiles }),
  ...(chart && { chart }),
  ...(mmPerPixel && { mmPerPixel }),
})

test('whatever is marked comes back as it was, also over what was marked before', async () => {
  const rack = await freshRack()
  await add(rack, 'a')
  await fc.assert(
    fc.asyncProperty(layout, async (marked) => {
      await mark(rack, 'a', marked)
      expect(await layoutOf(rack, 'a')).toEqual(spare(marked))
    }),
    { numRuns: 40 },
  )
})

const whole: Layout = {
  areas: [{ stepId: null, shape: { kind: 'quad', quad: quadAt(400, 400, 800) } }],
  card: { quad: quadAt(2000, 400, 400), lab: { l: 50, a: 0, b: 0 } },
  tiles: [
    { kind: 'white', quad: quadAt(2000, 1000, 200), lab: { l: 95, a: 0, b: 1 } },
    { kind: 'black', quad: quadAt(2400, 1000, 200), lab: { l: 20, a: 0, b: 0 } },
  ],
  chart: { quad: quadAt(2000, 1400, 1200), table: 'avg30' },
  mmPerPixel: 0.05,
}

test('tiles, chart and scale are proposed too, fitted to a photo half as large', async () => {
  const rack = await freshRack()
  await add(rack, 'a')
  await add(rack, 'b', { width: 2000, height: 1500 })
  await mark(rack, 'a', whole)
  expect(await proposedLayout(rack.db, newPhoto('b', { width: 2000, height: 1500 }))).toEqual({
    areas: [{ stepId: null, shape: { kind: 'quad', quad: quadAt(200, 200, 400) } }],
    card: { quad: quadAt(1000, 200, 200), lab: { l: 50, a: 0, b: 0 } },
    tiles: [
      { kind: 'white', quad: quadAt(1000, 500, 100), lab: { l: 95, a: 0, b: 1 } },
      { kind: 'black', quad: quadAt(1200, 500, 100), lab: { l: 20, a: 0, b: 0 } },
    ],
    chart: { quad: quadAt(1000, 700, 600), table: 'avg30' },
    // half the pixels for the same millimetres
    mmPerPixel: 0.1,
  })
})

test('a chart by itself is proposed only where no panel was marked before it', async () => {
  const rack = await freshRack()
  for (const id of ['panel', 'chart', 'next']) await add(rack, id)
  const chartOnly: Layout = { areas: [], card: null, chart: whole.chart }
  await mark(rack, 'chart', chartOnly)
  expect(await proposedLayout(rack.db, newPhoto('next'))).toEqual(chartOnly)
  const { areas, card } = whole
  await mark(rack, 'panel', { areas, card })
  await mark(rack, 'chart', chartOnly)
  expect(await proposedLayout(rack.db, newPhoto('next'))).toEqual({ areas, card })
})

const trayOf = async (rack: Rack) => (await listTray(rack.db)).map(({ id }) => id)
const flatsFor = async (rack: Rack, id: string) => {
  const { width, height, exposure } = await readPhotoRecord(rack.db, id)
  return listFlatIds(rack.db, { id, width, height, camera: exposure.camera, takenAt: exposure.takenAt ?? '' })
}
const taken = (at: string, camera = 'Ember 5') => {
  const { exposure } = newPhoto('x')
  return { exposure: { ...exposure, takenAt: at, camera } }
}

test('blank sheets and charts that serve do not wait in the tray, unless paint is marked on them', async () => {
  const rack = await freshRack()
  for (const id of ['panel', 'sheet', 'chart']) await add(rack, id)
  expect(await trayOf(rack)).toEqual(['chart', 'panel', 'sheet'])
  await rack.change({ label: 'use sheet' }, (change) => change.update('photo', 'panel', { flat_photo_id: 'sheet' }))
  const said = { name: 'booth', camera: null, lightId: null, photoId: 'chart', fit: setupFit() }
  const setupId = await rack.change({ label: 'calibrate' }, (change) => keepCalibration(change, null, said))
  expect(await trayOf(rack)).toEqual(['panel'])
  expect(await describeRack(rack.db, rack.folder)).toMatchObject({ trayCount: 1 })
  await mark(rack, 'chart', whole)
  expect(await trayOf(rack)).toEqual(['chart', 'panel'])
  await mark(rack, 'chart', { areas: [], card: null })
  await rack.change({ label: 'remove set-up' }, (change) => removeSetup(change, setupId))
  expect(await trayOf(rack)).toEqual(['chart', 'panel'])
  await rack.change({ label: 'discard' }, (change) => discardPhoto(change, 'panel'))
  expect(await trayOf(rack)).toEqual(['chart', 'sheet'])
})

test('blank sheets to choose from: same camera and proportions, unmarked, nearest in time first', async () => {
  const rack = await freshRack()
  await add(rack, 'panel', taken('2024-05-01T10:00:00'))
  await add(rack, 'late', taken('2024-05-01T12:00:00'))
  await add(rack, 'near', taken('2024-05-01T09:59:00'))
  await add(rack, 'other camera', taken('2024-05-01T10:00:00', 'Flint 2'))
  await add(rack, 'upright', { ...taken('2024-05-01T10:00:00'), width: 3000, height: 4000 })
  await add(rack, 'marked', taken('2024-05-01T10:00:00'))
  await add(rack, 'filed', taken('2024-05-01T10:00:00'))
  await add(rack, 'discarded', taken('2024-05-01T10:00:00'))
  await mark(rack, 'marked', whole)
  await rack.change({ label: 'file' }, (change) => change.update('photo', 'filed', { filed: 1 }))
  await rack.change({ label: 'discard' }, (change) => discardPhoto(change, 'discarded'))
  expect(await flatsFor(rack, 'panel')).toEqual(['near', 'late'])
  // one that serves already is found again, though it left the tray
  await rack.change({ label: 'use' }, (change) => change.update('photo', 'marked', { flat_photo_id: 'late' }))
  expect(await trayOf(rack)).not.toContain('late')
  expect(await flatsFor(rack, 'panel')).toEqual(['near', 'late'])
})
