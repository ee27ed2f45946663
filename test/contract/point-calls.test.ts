import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { differenceCiede2000 } from 'culori'
import { beforeAll, expect, test } from 'vitest'
import { middleOf } from '../../shared-core/capture/geometry.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { renderTestPhoto, type TestPhoto } from '../e2e/scene.ts'
import { workFolder } from '../rack/fresh.ts'
import { type BenchService, benchService } from './bench-service.ts'

const path = join(workFolder(), 'steps.jpg')
let drawn: TestPhoto
beforeAll(async () => {
  drawn = await renderTestPhoto(path, { seed: 'points', ground: 'silver', dye: 'Halyard', coats: [1, 2, 4] })
}, 60_000)

const dry = { view: 'face', stage: 'dry', setupId: null, flatPhotoId: null, lightId: null } as const
const cardOf = (l = 50) => ({ quad: drawn.card!, lab: { l, a: 0, b: 0 } })
/** In shares of the photo's sides. */
const share = ([x, y]: readonly [number, number]) => ({ x: x / drawn.width, y: y / drawn.height })
const middle = (quad: Quad) => share(middleOf(quad))
// culori compares under D65 and would adapt D50 figures first: called D65, they are taken as they are
const lab65 = ({ l, a, b }: { l: number; a: number; b: number }) => ({ mode: 'lab65' as const, l, a, b })
const apart = (one: Lab, other: Lab) => differenceCiede2000()(lab65(one), lab65(other))

/** A rack with that photo in its tray, its card marked. */
async function inTray(card: ReturnType<typeof cardOf> | null = cardOf()) {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Points' })
  const { jobId } = await service.call('photos.takeIn', { files: [{ path, name: 'steps.jpg' }] })
  const photoId = (await service.ended(jobId)).items[0]?.photoId ?? ''
  await service.call('photos.mark', { photoId, layout: { areas: [], card }, ...dry })
  return { ...service, photoId }
}
const read = ({ call, photoId }: Pick<BenchService, 'call'> & { photoId: string }, at: { x: number; y: number }) =>
  call('photos.readPoint', { photoId, ...at })

test('the colour at a point is the one that was drawn there, within its bound', async () => {
  const bench = await inTray()
  for (const [i, area] of drawn.areas.entries()) {
    const { reading } = await read(bench, middle(area))
    expect(apart(reading.lab, drawn.truth[i]!)).toBeLessThan(reading.bound90)
    // a spot in the middle of even paint is not known worse than the other steps are apart
    expect(reading.bound90).toBeLessThan(apart(drawn.truth[0]!, drawn.truth[2]!) / 2)
    expect(reading).toMatchObject({ photoId: bench.photoId, stepId: null, referenceId: null, view: 'face' })
  }
  // nothing was kept
  expect((await bench.call('references.list', {})).references).toEqual([])
  expect((await bench.call('photos.get', { photoId: bench.photoId })).photo.layout.areas).toEqual([])
})

test('a point at the photo’s edge is read inside of it', async () => {
  const bench = await inTray()
  const [corner, near] = [await read(bench, { x: 0, y: 0 }), await read(bench, { x: 0.001, y: 0.001 })]
  expect(corner.reading.lab).toEqual(near.reading.lab)
})

test('a point where two steps meet says a larger bound than one inside a step', async () => {
  const bench = await inTray()
  const [one, two] = drawn.areas.map((area) => middleOf(area))
  const between = share([(one![0] + two![0]) / 2, (one![1] + two![1]) / 2])
  const inside = await read(bench, middle(drawn.areas[0]!))
  const meeting = await read(bench, between)
  expect(meeting.reading.bound90).toBeGreaterThan(inside.reading.bound90)
})

test('in an area that was marked as flat, a point is not held for one of a curved part', async () => {
  const bench = await inTray()
  const at = middle(drawn.areas[1]!)
  const anywhere = (await read(bench, at)).reading
  expect(anywhere.parts.map(({ cause }) => cause)).toContain('curved')
  const areas = [{ stepId: null, shape: { kind: 'quad' as const, quad: drawn.areas[1]! } }]
  await bench.call('photos.mark', { photoId: bench.photoId, layout: { areas, card: cardOf() }, ...dry })
  const flat = (await read(bench, at)).reading
  expect(flat.parts.map(({ cause }) => cause)).not.toContain('curved')
  expect(apart(flat.lab, drawn.truth[1]!)).toBeLessThan(flat.bound90)
  // beside that area nobody said so
  const beside = (await read(bench, middle(drawn.areas[2]!))).reading
  expect(beside.parts.map(({ cause }) => cause)).toContain('curved')
})

test('a point on the card, and one in a photo whose card is not marked, are refused with what to do', async () => {
  const bench = await inTray()
  const onCard = { photoId: bench.photoId, ...middle(drawn.card!) }
  expect(await bench.refusal('photos.readPoint', onCard)).toMatchObject({
    code: 'photo/nothing-readable',
    message: expect.stringContaining('grey card') as string,
    remedy: expect.stringContaining('away from') as string,
  })
  const edge = { photoId: bench.photoId, ...share(drawn.card![0]) }
  expect(await bench.refusal('photos.readPoint', edge)).toMatchObject({ code: 'photo/nothing-readable' })

  const unmarked = await inTray(null)
  const point = { photoId: unmarked.photoId, ...middle(drawn.areas[1]!) }
  for (const [name, input] of [
    ['photos.readPoint', point],
    ['references.addFromPoint', { ...point, name: 'unknown' }],
  ] as const)
    expect(await unmarked.refusal(name, input)).toMatchObject({
      code: 'photo/no-card',
      message: expect.stringContaining('steps.jpg') as string,
      remedy: expect.stringContaining('mark its card') as string,
    })
  expect((await unmarked.call('references.list', {})).references).toEqual([])
  expect(await bench.refusal('photos.readPoint', { ...point, photoId: 'gone' })).toMatchObject({ code: 'photo/absent' })
  expect(await bench.refusal('photos.readPoint', { ...onCard, x: 1.2 })).toMatchObject({ code: 'service/bad-input' })
})

test('a point is read once while nothing that it is read by changes, and anew when the card is', async () => {
  const bench = await inTray()
  const at = middle(drawn.areas[1]!)
  const { reading } = await read(bench, at)
  // by a lighter card the same numbers are a lighter colour
  await bench.call('photos.mark', { photoId: bench.photoId, layout: { areas: [], card: cardOf(60) }, ...dry })
  const lighter = (await read(bench, at)).reading
  expect(lighter.lab.l).toBeGreaterThan(reading.lab.l + 3)

  const rack = bench.context.current.get()!
  await rm(join(rack.folder, 'photos'), { recursive: true })
  expect((await read(bench, at)).reading).toEqual(lighter)
  const ask = { filter: noFilter, readings: { view: null, lightId: null }, limit: 5 }
  const { to } = await bench.call('match.findNearest', { to: { photoId: bench.photoId, ...at }, ...ask })
  expect(to).toEqual(lighter)
  const elsewhere = { photoId: bench.photoId, ...middle(drawn.areas[0]!) }
  expect(await bench.refusal('photos.readPoint', elsewhere)).toMatchObject({ code: 'photo/original-missing' })
})

test('a point is kept as a reference with its cut-out and place; one undo takes all of it back', async () => {
  const bench = await inTray()
  const { call, photoId } = bench
  const at = middle(drawn.areas[1]!)
  const { reading } = await read(bench, at)
  const { reference } = await call('references.addFromPoint', { photoId, ...at, name: 'the middle step' })
  const [kept] = reference.readings
  expect(reference).toMatchObject({ name: 'the middle step' })
  expect(kept).toMatchObject({ lab: reading.lab, bound90: reading.bound90, photoId, referenceId: reference.id })
  expect(kept?.cut).toMatch(/^[0-9a-f]{32}$/)
  const { photo } = await call('photos.get', { photoId })
  // still in the tray, with the place marked
  expect(photo).toMatchObject({ filed: false, layout: { areas: [{ referenceId: reference.id }], card: cardOf() } })
  const shape = photo.layout.areas[0]?.shape
  expect(shape).toMatchObject({ kind: 'round' })
  if (shape?.kind !== 'round') throw new Error('The point is not kept as a round area')
  expect(share(shape.centre).x).toBeCloseTo(at.x, 6)
  expect(share(shape.centre).y).toBeCloseTo(at.y, 6)

  // twice the same spot: two references of one place, not two places
  const again = await call('references.addFromPoint', { photoId, ...at, name: 'the same again' })
  expect(again.reference.readings[0]?.areaId).toBe(kept?.areaId)
  await call('history.undo', {})
  await call('history.undo', {})
  expect((await call('references.list', {})).references).toEqual([])
  expect((await call('photos.get', { photoId })).photo.layout).toMatchObject({ areas: [], card: cardOf() })
})
