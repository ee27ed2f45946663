import { mkdirSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, onTestFinished, test } from 'vitest'
import type { Job } from '../../shared-core/records/job.ts'
import { manySmall } from '../bench/intake/many-small.ts'
import { freshFolder } from '../rack/fresh.ts'
import { startService } from './service-process.ts'

const count = 240
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

/** Names of all files below a folder. */
const filesBelow = (folder: string) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ name }) => name)

function photosIn(rack: string): Set<string> {
  const raw = new Database(join(rack, 'rack.sqlite'))
  try {
    expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
    return new Set(raw.prepare('select sha256 from photo').pluck().all() as string[])
  } finally {
    raw.close()
  }
}

test('hundreds of photos, the service killed three times among them: none is lost or kept twice, and it is one step to undo', async () => {
  const home = freshFolder()
  const rack = join(home, 'rack')
  mkdirSync(join(home, 'desk'))
  const files = await manySmall(join(home, 'desk'), count)
  const begin = () => {
    const service = startService(home)
    onTestFinished(() => service.kill())
    return service
  }
  let service = begin()
  await service.call('rack.create', { folder: rack, name: 'Killed' })
  await service.call('photos.takeIn', { files })
  const told = new Set<string>()
  for (const after of [40, 120, 200]) {
    while (told.size < after) {
      await pause(2)
      for (const [name, { fate }] of service.acknowledged) if (fate === 'taken') told.add(name)
    }
    await pause(Math.random() * 30)
    await service.kill()
    for (const [name, { fate }] of service.acknowledged) if (fate === 'taken') told.add(name)
    // what was acknowledged is there, though the process had no time to say goodbye
    expect(photosIn(rack).size).toBeGreaterThanOrEqual(told.size)
    service = begin()
    await service.call('rack.open', { folder: rack })
  }
  let jobs: Job[]
  do {
    await pause(20)
    jobs = ((await service.call('jobs.list', {})) as { jobs: Job[] }).jobs
  } while (jobs.some(({ state }) => state === 'running'))
  const items = jobs.flatMap((job) => job.items)
  expect(items).toHaveLength(count)
  // a file that two kills happened to meet is refused by its name
  const refused = items.filter(({ fate }) => fate !== 'taken')
  for (const { why } of refused) expect(why?.code).toBe('photo/stopped-the-service')
  expect(refused.length).toBeLessThanOrEqual(2)
  for (const name of told) expect(items.find((item) => item.name === name)?.fate).toBe('taken')
  const { ids } = (await service.call('photos.listWaiting', {})) as { ids: string[] }
  expect(ids).toHaveLength(count - refused.length)
  await service.call('history.undo', {})
  expect(await service.call('photos.listWaiting', {})).toEqual({ ids: [], sheetIds: [] })
  await service.call('history.redo', {})
  expect(await service.leave()).toBe(0)
  expect(photosIn(rack).size).toBe(count - refused.length)
  for (const folder of ['photos', 'renditions'])
    expect(filesBelow(join(rack, folder)).filter((name) => name.endsWith('.part'))).toEqual([])
})
