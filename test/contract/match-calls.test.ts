import { join } from 'node:path'
import { differenceCiede2000 } from 'culori'
import { beforeAll, expect, test } from 'vitest'
import { noFilter, type PanelFilter } from '../../shared-core/records/panel.ts'
import { renderTestPhoto, type TestPhoto, type TestPhotoOptions } from '../e2e/scene.ts'
import { draft, workFolder } from '../rack/fresh.ts'
import { candyMixture, layer } from '../rack/layers-typed.ts'
import { type BenchService, benchService } from './bench-service.ts'

type Shot = { path: string; name: string; photo: TestPhoto }
const desk = workFolder()
const shots = new Map<string, Shot>()

async function shoot(name: string, options: TestPhotoOptions): Promise<void> {
  const path = join(desk, `${name}.jpg`)
  shots.set(name, { path, name: `${name}.jpg`, photo: await renderTestPhoto(path, options) })
}

beforeAll(async () => {
  // silver under two paints, gold under one; the customer's chip is the first paint at two coats in another photo
  await shoot('teal', { seed: 'teal', ground: 'silver', dye: 'Halyard', coats: [1, 2, 4], camera: 'even' })
  await shoot('red', { seed: 'red', ground: 'gold', dye: 'Ember', coats: [1, 2, 4], camera: 'even' })
  await shoot('chip', { seed: 'chip', ground: 'silver', dye: 'Halyard', coats: [2], camera: 'even' })
}, 60_000)

const shot = (name: string): Shot => {
  const found = shots.get(name)
  if (!found) throw new Error(`No photo ${name}`)
  return found
}
const cardOf = ({ card }: TestPhoto) => card && { quad: card, lab: { l: 50, a: 0, b: 0 } }
const dry = { view: 'face', stage: 'dry', setupId: null, flatPhotoId: null } as const

/** Two panels filed from their photos, in different light, and a reference from a third photo. */
async function filled() {
  const service = await benchService()
  const { call, ended } = service
  await call('rack.create', { folder: join(service.folder, 'rack'), name: 'Match' })
  const { jobId } = await call('photos.takeIn', {
    files: [...shots.values()].map(({ path, name }) => ({ path, name })),
  })
  const { items } = await ended(jobId)
  const photoId = (name: string) => items.find((item) => item.name === `${name}.jpg`)?.photoId ?? ''
  const { lights } = await call('lights.list', {})
  const file = async (name: string, ground: string, dye: string, lightId: string | null) => {
    const candy = layer('candy', '', { coats: 4, mixture: candyMixture(dye, 'smoke') })
    const coats = [1, 2, 4].map((each) => ({ id: null, coats: each, notes: '' }))
    const { panel } = await call('panels.save', {
      draft: draft({ title: name, tags: [], layers: [layer('ground', ground), candy], steps: coats }),
    })
    const { photo } = shot(name)
    const areas = photo.areas.map((quad, i) => ({
      stepId: panel.steps[i]?.id ?? null,
      shape: { kind: 'quad' as const, quad },
    }))
    const layout = { areas, card: cardOf(photo) }
    await call('photos.file', { photoId: photoId(name), panelId: panel.id, layout, ...dry, lightId, ageDays: null })
    return panel
  }
  const teal = await file('teal', 'silver', 'Halyard', lights[0]?.id ?? null)
  const red = await file('red', 'gold', 'Ember', lights[1]?.id ?? null)
  const { photo } = shot('chip')
  const [quad] = photo.areas
  if (!quad) throw new Error('The chip shows no paint')
  const { reference } = await call('photos.fileReference', {
    photoId: photoId('chip'),
    name: 'customer’s chip',
    area: { stepId: null, shape: { kind: 'quad', quad } },
    card: cardOf(photo),
    ...dry,
    lightId: lights[0]?.id ?? null,
  })
  return { ...service, teal, red, lights, readingId: reference.readings[0]?.id ?? '' }
}

const nearest = (
  { call }: BenchService,
  readingId: string,
  filter: Partial<PanelFilter> = {},
  readings: { view: 'face' | 'flop' | null; lightId: string | null } = { view: null, lightId: null },
  limit = 50,
) => call('match.findNearest', { to: { readingId }, filter: { ...noFilter, ...filter }, readings, limit })

test('the nearest to a photographed reference is the step of the same paint, within the bound', async () => {
  const bench = await filled()
  const { to, matches, considered } = await nearest(bench, bench.readingId)
  expect(considered).toBe(6)
  expect(matches).toHaveLength(6)
  const [first] = matches
  if (!first) throw new Error('Nothing was found')
  expect(first).toMatchObject({ panel: { code: 'P-0001' }, coats: 2, couldBeSame: true })
  expect(first.de00).toBeLessThan(first.bound90)
  expect(first.candyLayers[0]?.mixture?.parts).toHaveLength(2)
  // culori compares under D65 and would adapt D50 figures first: called D65, they are taken as they are
  const independent = differenceCiede2000()
  const lab = ({ l, a, b }: { l: number; a: number; b: number }) => ({ mode: 'lab65' as const, l, a, b })
  for (const { reading, de00 } of matches) expect(de00).toBeCloseTo(independent(lab(to.lab), lab(reading.lab)), 6)
  expect(matches.map(({ de00 }) => de00)).toEqual(matches.map(({ de00 }) => de00).toSorted((a, b) => a - b))
  // the colour that was drawn lies within the reading's own bound
  const truth = shot('teal').photo.truth[1]
  if (!truth) throw new Error('The photo has no second step')
  expect(independent(lab(truth), lab(first.reading.lab))).toBeLessThan(first.reading.bound90)
})

test('filters narrow what is compared, and a limit cuts the far end', async () => {
  const bench = await filled()
  const codes = async (...ask: Parameters<typeof nearest> extends [unknown, unknown, ...infer Rest] ? Rest : never) => {
    const { matches, considered } = await nearest(bench, bench.readingId, ...ask)
    return { codes: [...new Set(matches.map(({ panel }) => panel.code))], considered, count: matches.length }
  }
  expect(await codes({ grounds: ['gold'] })).toEqual({ codes: ['P-0002'], considered: 3, count: 3 })
  expect(await codes({ candies: ['Halyard'] })).toEqual({ codes: ['P-0001'], considered: 3, count: 3 })
  expect(await codes({ cleared: true })).toEqual({ codes: [], considered: 0, count: 0 })
  expect(await codes({}, { view: 'flop', lightId: null })).toMatchObject({ considered: 0 })
  const [, second] = bench.lights
  expect(await codes({}, { view: 'face', lightId: second?.id ?? '' })).toMatchObject({ codes: ['P-0002'] })
  expect(await codes({}, { view: null, lightId: null }, 2)).toEqual({ codes: ['P-0001'], considered: 6, count: 2 })

  // what is in the trash is not compared, and a step is not its own neighbour
  await bench.call('panels.remove', { panelId: bench.red.id })
  expect(await codes()).toMatchObject({ codes: ['P-0001'], considered: 3 })
  const { readings } = await bench.call('panels.get', { key: bench.teal.id })
  const own = await nearest(bench, readings[0]?.id ?? '')
  expect(own.matches.map(({ stepId }) => stepId)).not.toContain(readings[0]?.stepId)
  expect(own.considered).toBe(2)
})

test('a reference that is gone is told as such', async () => {
  const bench = await filled()
  const { references } = await bench.call('references.list', {})
  await bench.call('references.remove', { referenceId: references[0]?.id ?? '' })
  const ask = {
    to: { readingId: bench.readingId },
    filter: noFilter,
    readings: { view: null, lightId: null },
    limit: 5,
  }
  expect(await bench.refusal('match.findNearest', ask)).toMatchObject({ code: 'reading/absent' })
})
