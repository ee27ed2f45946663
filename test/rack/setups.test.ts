import { expect, test } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addPhoto } from '../../electron/rack/queries/photos.ts'
import { addReading, getReading, listCandidates } from '../../electron/rack/queries/readings.ts'
import {
  type Calibration,
  changeSetup,
  keepCalibration,
  listSetups,
  proposedSetupId,
  readSetup,
  removeSetup,
} from '../../electron/rack/queries/setups.ts'
import { addLight } from '../../electron/rack/queries/shelf.ts'
import { typedReading } from '../../electron/service/typed-colour.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import type { BoundPart, Reading } from '../../shared-core/records/reading.ts'
import { draft, dump, freshRack, newPhoto, setupFit } from './fresh.ts'

async function rackWithPhoto() {
  const rack = await freshRack()
  await rack.change({ label: 'take in' }, (change) => addPhoto(change, newPhoto('chart')))
  const light = await rack.change({ label: 'light' }, (change) => addLight(change, 'north lamp', 5000))
  return { rack, lightId: light?.id ?? '' }
}

const calibrate = (rack: Rack, said: Partial<Calibration> = {}, setupId: string | null = null) =>
  rack.change({ label: 'calibrate' }, (change) =>
    keepCalibration(change, setupId, {
      name: 'booth',
      camera: 'Ember 5',
      lightId: null,
      photoId: 'chart',
      fit: setupFit(),
      ...said,
    }),
  )
/** The next moment, or times would be equal. */
const later = () => new Promise((resolve) => setTimeout(resolve, 3))
const proposal = (rack: Rack, camera: string | null, lightId: string | null) =>
  proposedSetupId(rack.db, { exposure: { camera }, lightId })

test('a set-up is kept as it was learnt, calibrated again, changed, removed, and all of that taken back', async () => {
  const { rack, lightId } = await rackWithPhoto()
  const states = [await dump(rack)]
  const id = await calibrate(rack)
  const first = await readSetup(rack.db, id)
  expect(first).toMatchObject({ name: 'booth', notes: '', photoId: 'chart', fit: setupFit() })
  states.push(await dump(rack))
  await later()
  await calibrate(rack, { name: 'booth, new tubes', fit: setupFit({ camera: [0.5] }), lightId }, id)
  const again = await readSetup(rack.db, id)
  expect(again).toMatchObject({ name: 'booth, new tubes', lightId, fit: { camera: [0.5] }, createdAt: first.createdAt })
  expect(again.calibratedAt > first.calibratedAt).toBe(true)
  states.push(await dump(rack))
  await rack.change({ label: 'change' }, (change) => changeSetup(change, id, { notes: 'tripod', lightId: null }))
  expect(await readSetup(rack.db, id)).toEqual({ ...again, notes: 'tripod', lightId: null })
  states.push(await dump(rack))
  await rack.change({ label: 'remove' }, (change) => removeSetup(change, id))
  await expect(readSetup(rack.db, id)).rejects.toMatchObject({ code: 'setup/absent' })
  expect(await listSetups(rack.db)).toEqual([])
  states.push(await dump(rack))
  for (const state of states.slice(0, -1).toReversed()) {
    await rack.undo()
    expect(await dump(rack)).toBe(state)
  }
  for (const state of states.slice(1)) {
    await rack.redo()
    expect(await dump(rack)).toBe(state)
  }
})

test('set-ups are listed and proposed by their last calibration, for the same camera and a known light', async () => {
  const { rack, lightId } = await rackWithPhoto()
  const old = await calibrate(rack, { name: 'old', lightId })
  await later()
  const other = await calibrate(rack, { name: 'other phone', camera: 'Flint 2' })
  await later()
  const open = await calibrate(rack, { name: 'no light said' })
  expect((await listSetups(rack.db)).map(({ id }) => id)).toEqual([open, other, old])
  expect(await proposal(rack, 'Ember 5', null)).toBe(open)
  expect(await proposal(rack, 'Ember 5', lightId)).toBe(old)
  expect(await proposal(rack, 'Flint 2', null)).toBe(other)
  expect(await proposal(rack, 'Flint 2', lightId)).toBeNull()
  expect(await proposal(rack, 'Slate', null)).toBeNull()
  expect(await proposal(rack, null, null)).toBeNull()
  await later()
  await calibrate(rack, { name: 'old', lightId }, old)
  expect((await listSetups(rack.db)).map(({ id }) => id)).toEqual([old, open, other])
  expect(await proposal(rack, 'Ember 5', null)).toBe(old)
  await rack.change({ label: 'remove' }, (change) => removeSetup(change, old))
  expect(await proposal(rack, 'Ember 5', null)).toBe(open)
  expect(await proposal(rack, 'Ember 5', lightId)).toBeNull()
})

test('a reading keeps its texture, set-up, spectrum and instrument, and how much of its bound is shared', async () => {
  const { rack } = await rackWithPhoto()
  const setupId = await calibrate(rack)
  const panelId = await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  const { id: stepId } = await rack.db
    .selectFrom('step')
    .select('id')
    .where('panel_id', '=', panelId)
    .limit(1)
    .executeTakeFirstOrThrow()
  const typed = { lab: { l: 40, a: -20, b: 5 }, illuminant: 'D50', observer: '2', geometry: 'photo' } as const
  const told = { bound90: 3, view: 'face', stage: 'dry', lightId: null } as const
  const part = (de00: number, shared?: BoundPart['shared']): BoundPart => ({
    cause: `cause ${de00}`,
    de00,
    words: 'words',
    ...(shared && { shared }),
  })
  const plain = typedReading({ ...typed, ...told }, { stepId })
  const full: Reading = {
    ...typedReading({ ...typed, ...told }, { stepId }),
    level: 'set-up',
    photoId: 'chart',
    setupId,
    // 3-4-5 and 5-12-13: the shares add up as independent errors do
    parts: [part(0.3, 'photo'), part(0.4, 'photo'), part(1.2, 'set-up'), part(0.5, 'set-up'), part(2)],
    texture: { coarsenessPercent: 3.25, grainMm: 0.4, glintsPerCm2: null, glintContrast: 1 / 3 },
    spectrum: { startNm: 400, stepNm: 10, values: [0.1, 0.2, 1 / 3, 0.4] },
    instrument: 'Plumb 3',
  }
  await rack.change({ label: 'read' }, async (change) => {
    await addReading(change, full)
    await addReading(change, plain)
  })
  expect(await getReading(rack.db, full.id)).toEqual(full)
  expect(await getReading(rack.db, plain.id)).toMatchObject({ texture: null, setupId: null, spectrum: null })
  const candidates = await listCandidates(rack.db, noFilter, { view: null, lightId: null })
  const of = (id: string) => candidates.find(({ reading }) => reading.id === id)?.reading
  expect(of(full.id)).toMatchObject({ photoId: 'chart', setupId })
  expect(of(full.id)?.sharedPhoto).toBeCloseTo(0.5, 12)
  expect(of(full.id)?.sharedSetup).toBeCloseTo(1.3, 12)
  expect(of(plain.id)).toMatchObject({ setupId: null, sharedPhoto: 0, sharedSetup: 0 })
  // readings stay when their set-up goes
  await rack.change({ label: 'remove' }, (change) => removeSetup(change, setupId))
  expect(await getReading(rack.db, full.id)).toEqual(full)
})
