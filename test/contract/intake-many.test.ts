import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { IntakeItem } from '../../shared-core/records/job.ts'
import { manySmall } from '../bench/intake/many-small.ts'
import { benchService } from './bench-service.ts'

/** Many files at once: what a season on a phone comes to. */
async function bench() {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Bench' })
  const desk = join(service.folder, 'desk')
  mkdirSync(desk)
  return { ...service, desk }
}

const countOf = (items: readonly IntakeItem[], fate: IntakeItem['fate']) =>
  items.filter((item) => item.fate === fate).length

test('hundreds of files, a third of them no photos and some twice: each is told once, with its fate', async () => {
  const { call, ended, events, desk } = await bench()
  const photos = await manySmall(desk, 120)
  const others = Array.from({ length: 60 }, (_, i) => {
    const name = `note ${i}.txt`
    writeFileSync(join(desk, name), `not a photo ${i}`)
    return { path: join(desk, name), name }
  })
  const twice = photos.slice(0, 20).map(({ path, name }) => ({ path, name: `again ${name}` }))
  const { jobId } = await call('photos.takeIn', { files: [...photos, ...others, ...twice] })
  const { items } = await ended(jobId)
  expect(items).toHaveLength(200)
  expect([countOf(items, 'taken'), countOf(items, 'duplicate'), countOf(items, 'refused')]).toEqual([120, 20, 60])
  const refused = items.filter(({ fate }) => fate === 'refused')
  for (const { name, why } of refused) {
    expect(name).toMatch(/^note /)
    expect(why?.code).toBe('photo/not-a-picture')
  }
  // told piece by piece: joined, the pieces are the whole
  const reports = events.flatMap((event) =>
    event.name === 'job.progressed' && event.data.id === jobId ? [event.data] : [],
  )
  const told: IntakeItem[] = []
  for (const { items: some, itemsBefore } of reports) {
    expect(itemsBefore).toBe(told.length)
    told.push(...some)
  }
  expect(told).toEqual(items)
  // one change to undo, and far fewer transactions than photos
  // they wait as they were handed over
  const { photos: waiting } = await call('photos.listTray', {})
  expect(waiting.map(({ name }) => name.replace('again ', ''))).toEqual(photos.map(({ name }) => name))
  const { rack } = await call('rack.describe', {})
  expect(rack).toMatchObject({ trayCount: 120, undo: 'take in 120 photos' })
  expect(rack?.revision).toBeLessThan(60)
  await call('history.undo', {})
  expect((await call('photos.listWaiting', {})).ids).toEqual([])
})

test('cancelled in the middle, all that is left is named at once, and the same files can be taken in afterwards', async () => {
  const { call, ended, desk, context } = await bench()
  const files = await manySmall(desk, 150)
  const { jobId } = await call('photos.takeIn', { files })
  while (!context.jobs.list().some(({ id, items }) => id === jobId && items.length > 0))
    await new Promise((resolve) => setTimeout(resolve, 1))
  await call('jobs.cancel', { jobId })
  const { items, state } = await ended(jobId)
  expect(state).toBe('cancelled')
  const [taken, cancelled] = [countOf(items, 'taken'), countOf(items, 'cancelled')]
  expect(cancelled).toBeGreaterThan(0)
  expect(taken + cancelled).toBe(150)
  expect(new Set(items.map(({ name }) => name)).size).toBe(150)
  expect((await call('photos.listWaiting', {})).ids).toHaveLength(taken)
  const again = await ended((await call('photos.takeIn', { files })).jobId)
  expect([countOf(again.items, 'duplicate'), countOf(again.items, 'taken')]).toEqual([taken, cancelled])
})

test('a photo whose taking in is undone while the next intake finds it there is taken in again, not lost', async () => {
  const { call, ended, desk } = await bench()
  const files = await manySmall(desk, 30)
  await ended((await call('photos.takeIn', { files })).jobId)
  const second = await call('photos.takeIn', { files })
  await call('history.undo', {})
  const { items } = await ended(second.jobId)
  // whichever came first for each: the undo, or finding it there
  for (const { name, fate, why } of items) {
    expect(name).toMatch(/^IMG_/)
    expect(['taken', 'duplicate', 'photo/undone-meanwhile']).toContain(why?.code ?? fate)
  }
  const { items: third } = await ended((await call('photos.takeIn', { files })).jobId)
  expect(countOf(third, 'refused')).toBe(0)
  expect((await call('photos.listWaiting', {})).ids).toHaveLength(30)
})

test('two intakes go one after the other, and an empty call is answered meanwhile', async () => {
  const { call, ended, desk, context } = await bench()
  const files = await manySmall(desk, 80)
  const one = await call('photos.takeIn', { files: files.slice(0, 40) })
  const two = await call('photos.takeIn', { files: files.slice(40) })
  const states = () => new Map(context.jobs.list().map(({ id, state }) => [id, state]))
  let asked = 0
  while (states().get(one.jobId) === 'running') {
    await call('service.describe', {})
    asked++
    await new Promise((resolve) => setTimeout(resolve, 1))
  }
  expect(asked).toBeGreaterThan(3)
  expect((await ended(two.jobId)).items).toHaveLength(40)
  expect((await call('photos.listWaiting', {})).ids).toHaveLength(80)
})
