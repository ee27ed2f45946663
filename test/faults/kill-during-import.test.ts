import { createHash } from 'node:crypto'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import Database from 'better-sqlite3'
import { beforeAll, expect, onTestFinished, test } from 'vitest'
import type { Job } from '../../shared-core/records/job.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import { freshFolder, photoFile } from '../rack/fresh.ts'
import { type ServiceProcess, startService } from './service-process.ts'

const count = 20
const files: Array<{ path: string; name: string }> = []
let hashes: string[] = []

const hashOf = (path: string) => createHash('sha256').update(readFileSync(path)).digest('hex')

/** Photos large enough that a kill hits the middle of something. */
beforeAll(async () => {
  const desk = mkdtempSync(join(tmpdir(), 'overground-test-'))
  for (let i = 0; i < count; i++) {
    const name = `IMG_${i}.jpg`
    files.push({ path: await photoFile(join(desk, name), i + 1, 640, 480), name })
  }
  hashes = files.map(({ path }) => hashOf(path))
  return () => rmSync(desk, { recursive: true, force: true })
})

function service(home: string): ServiceProcess {
  const started = startService(home)
  onTestFinished(() => started.kill())
  return started
}

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

/** What the disk holds while no service runs: a sound database, and originals that are what their names say. */
function inspect(rack: string): Set<string> {
  const raw = new Database(join(rack, 'rack.sqlite'))
  try {
    expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
    expect(raw.pragma('foreign_key_check')).toEqual([])
    const rows = raw.prepare('select sha256 from photo').pluck().all() as string[]
    for (const sha256 of rows) {
      const path = join(rack, 'photos', sha256.slice(0, 2), `${sha256}.jpg`)
      expect(hashOf(path)).toBe(sha256)
    }
    return new Set(rows)
  } finally {
    raw.close()
  }
}

/** Every original, with or without a row, is whole: half a file never has its final name. */
function originalsAreWhole(rack: string): void {
  const originals = readdirSync(join(rack, 'photos'), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.jpg'))
    .map((entry) => join(entry.parentPath, entry.name))
  for (const path of originals) expect(`${hashOf(path)}.jpg`).toBe(basename(path))
}

/** Waits until nothing of an intake is left to do. */
async function settled({ call }: ServiceProcess): Promise<Job[]> {
  for (;;) {
    const { jobs } = (await call('jobs.list', {})) as { jobs: Job[] }
    if (jobs.every((job) => job.state !== 'running')) return jobs
    await pause(20)
  }
}

// from before the first photo is in to when most are; with the test below nine kills
test.each([0, 1, 4, 12])('killed once %i photos were acknowledged, nothing of them is lost', async (after) => {
  const home = freshFolder()
  const rack = join(home, 'rack')
  const first = service(home)
  await first.call('rack.create', { folder: rack, name: 'Killed' })
  await first.call('photos.takeIn', { files })
  while (first.acknowledged.size < after) await pause(1)
  // anywhere within the work on one photo
  await pause(Math.random() * 40)
  const pid = first.child.pid
  await first.kill()
  const acknowledged = [...first.acknowledged.values()]

  expect(JSON.parse(readFileSync(join(rack, 'lock'), 'utf8'))).toMatchObject({ pid })
  const rows = inspect(rack)
  originalsAreWhole(rack)
  for (const { name, fate } of acknowledged) {
    expect(fate).toBe('taken')
    expect(rows).toContain(hashes[files.findIndex((file) => file.name === name)])
  }

  const second = service(home)
  await second.call('rack.open', { folder: rack })
  expect(JSON.parse(readFileSync(join(rack, 'lock'), 'utf8'))).toMatchObject({ pid: second.child.pid })
  const { photos } = (await second.call('photos.listTray', {})) as { photos: Photo[] }
  for (const item of acknowledged) expect(photos.map(({ id }) => id)).toContain(item.photoId)
  // the rest goes on by itself
  const fates = (await settled(second)).flatMap(({ items }) => items.map(({ fate }) => fate))
  expect(fates.filter((fate) => fate !== 'taken')).toEqual([])
  expect(await second.leave()).toBe(0)
  expect(existsSync(join(rack, 'lock'))).toBe(false)
  expect([...inspect(rack)].toSorted()).toEqual(hashes.toSorted())
  originalsAreWhole(rack)
  // nor is anything half done left lying about
  expect(readdirSync(join(rack, 'photos')).filter((name) => !/^[0-9a-f]{2}$/.test(name))).toEqual([])
})

test('killed again and again, the intake still ends, and every file is either in or named with its reason', async () => {
  const home = freshFolder()
  const rack = join(home, 'rack')
  let present = service(home)
  await present.call('rack.create', { folder: rack, name: 'Killed' })
  await present.call('photos.takeIn', { files })
  const acknowledged = new Map(present.acknowledged)
  for (let round = 0; round < 5; round++) {
    await pause(30 + Math.random() * 120)
    await present.kill()
    for (const [name, item] of present.acknowledged) acknowledged.set(name, item)
    inspect(rack)
    present = service(home)
    await present.call('rack.open', { folder: rack })
  }
  const items = [...acknowledged.values(), ...(await settled(present)).flatMap((job) => job.items)]
  expect(new Set(items.map(({ name }) => name)).size).toBe(count)
  // what a kill met twice is refused by name; everything else is taken
  for (const { fate, why } of items) expect(why?.code ?? fate).toMatch(/^(taken|photo\/stopped-the-service)$/)
  const rows = inspect(rack)
  const taken = items.filter(({ fate }) => fate === 'taken')
  for (const { name } of taken) expect(rows).toContain(hashes[files.findIndex((file) => file.name === name)])
  expect(await present.leave()).toBe(0)
})

test.each(['disconnect', 'SIGTERM'])(
  'a service whose host is gone (%s) leaves, and closes its rack first',
  async (how) => {
    const home = freshFolder()
    const rack = join(home, 'rack')
    const only = service(home)
    await only.call('rack.create', { folder: rack, name: 'Left' })
    expect(existsSync(join(rack, 'lock'))).toBe(true)
    if (how === 'SIGTERM') only.child.kill('SIGTERM')
    expect(await only.leave()).toBe(0)
    expect(readdirSync(rack).toSorted()).toEqual(['backups', 'data-sheets', 'photos', 'rack.sqlite', 'renditions'])
  },
)

test('two services do not share one rack', async () => {
  const home = freshFolder()
  const rack = join(home, 'rack')
  const first = service(home)
  await first.call('rack.create', { folder: rack, name: 'Wanted' })
  const second = service(freshFolder())
  await expect(second.call('rack.open', { folder: rack })).rejects.toMatchObject({
    code: 'rack/locked',
    message: expect.stringContaining('on this computer'),
  })
})
