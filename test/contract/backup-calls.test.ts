import { createHash } from 'node:crypto'
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test, vi } from 'vitest'
import { putBack } from '../../electron/rack/backups/put-back.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { makeJobs } from '../../electron/service/jobs.ts'
import { openLog } from '../../electron/service/log.ts'
import { makeBackupKeeper } from '../../electron/service/safety/backups.ts'
import { openSecondPlaces } from '../../electron/service/safety/second-places.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { draft, dump, freshFolder, freshRack, photoFile } from '../rack/fresh.ts'
import { type BenchService, benchService } from './bench-service.ts'

// processes and threads start slowly on a machine that is busy with other tests
vi.setConfig({ testTimeout: 120_000 })

/** Backups as a painter meets them: made, copied to a second place, looked at, gone back to. */

async function rackWith(titles: readonly string[]) {
  const service = await benchService()
  const folder = join(service.folder, 'rack')
  await service.call('rack.create', { folder, name: 'North wall' })
  for (const title of titles) await service.call('panels.save', { draft: draft({ title }) })
  return { service, folder }
}
async function backUp(service: BenchService) {
  const job = await service.ended((await service.call('backups.make', {})).jobId)
  expect(job).toMatchObject({ state: 'done', error: null })
  return (await service.call('backups.describe', {})).last!.file
}
const copied = (service: BenchService) =>
  service.ended(service.context.jobs.list().findLast(({ label }) => label === 'Copying to the second place')!.id)
async function takeIn(service: BenchService, seed: number) {
  const path = await photoFile(join(service.folder, `photo-${seed}.jpg`), seed)
  const { jobId } = await service.call('photos.takeIn', { files: [{ path, name: `photo-${seed}.jpg` }] })
  await service.ended(jobId)
  return createHash('sha256').update(readFileSync(path)).digest('hex')
}
const filesIn = (folder: string) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
    .toSorted()

test('a backup by hand is whole and told in words; a rack that did not change since says so', async () => {
  const { service, folder } = await rackWith(['A', 'B'])
  expect(await service.call('backups.describe', {})).toMatchObject({ last: null, changedSince: true, overdue: false })
  const { jobId } = await service.call('backups.make', {})
  expect((await service.ended(jobId)).outcome).toBe('The backup is whole: 2 panels, 0 readings, 0 photos.')
  const state = await service.call('backups.describe', {})
  expect(state).toMatchObject({ changedSince: false, last: { state: 'whole', kind: 'by-hand' }, second: null })
  await service.call('panels.save', { draft: draft({ title: 'C' }) })
  expect((await service.call('backups.describe', {})).changedSince).toBe(true)
  const { backups } = await service.call('backups.list', { folder, thorough: true })
  expect(backups.map(({ state: how, facts }) => [how, facts?.counts.panels])).toEqual([['whole', 2]])
  expect(await service.refusal('backups.remove', { file: backups[0]!.file })).toMatchObject({
    code: 'backup/last-good',
  })
})

test('going back closes the rack, opens it as it was, and loses neither photos nor codes that were given', async () => {
  const { service, folder } = await rackWith(['A'])
  const file = await backUp(service)
  const was = await dump(service.context.rack())
  const { panel } = await service.call('panels.save', { draft: draft({ title: 'B' }) })
  const kept = await takeIn(service, 1)
  const thrown = await takeIn(service, 2)
  const { photos } = await service.call('photos.listTray', {})
  await service.call('photos.discard', { photoId: photos.find(({ sha256 }) => sha256 === thrown)!.id })
  const { revision } = (await service.call('rack.describe', {})).rack!

  expect(await service.call('backups.preview', { folder, file })).toMatchObject({
    gone: { count: 1, first: [{ code: panel.code, title: 'B' }] },
    photosToTray: 1,
    photosLeft: 1,
    sameRack: true,
  })
  const job = await service.ended((await service.call('backups.restore', { folder, file })).jobId)
  expect(job).toMatchObject({ state: 'done', error: null })
  expect(job.outcome).toContain('One photo that the backup does not know lies in the tray.')

  const info = (await service.call('rack.describe', {})).rack!
  expect(info).toMatchObject({ folder, panelCount: 1, trayCount: 1 })
  // an answer of before is not taken for one of now
  expect(info.revision).toBeGreaterThan(revision)
  const tray = await service.call('photos.listTray', {})
  expect(tray.photos.map(({ sha256, name }) => [sha256, name])).toEqual([[kept, 'photo-1.jpg']])
  for (const sha256 of [kept, thrown]) expect(filesIn(join(folder, 'photos')).join()).toContain(sha256)
  // without what going back brought into the tray, everything is as it was
  await service.call('history.undo', {})
  expect(await dump(service.context.rack())).toBe(was)
  // the code of B may stand on a label
  const next = await service.call('panels.save', { draft: draft({ title: 'C' }) })
  expect(next.panel.code).not.toBe(panel.code)
  // and forward again
  const { backups } = await service.call('backups.list', { folder, thorough: false })
  const before = backups.find(({ kind }) => kind === 'before-change')!
  await service.ended((await service.call('backups.restore', { folder, file: before.file })).jobId)
  expect((await service.call('panels.get', { key: panel.code })).panel.title).toBe('B')
})

test('a rack whose records are wrecked is brought back without being open', async () => {
  const { service, folder } = await rackWith(['A'])
  const file = await backUp(service)
  const sha256 = await takeIn(service, 3)
  await service.call('rack.close', {})
  writeFileSync(join(folder, 'rack.sqlite'), 'wrecked')
  expect(await service.refusal('rack.open', { folder })).toMatchObject({ code: 'rack/damaged' })
  expect(await service.call('backups.preview', { folder, file })).toMatchObject({ inRack: null, photosToTray: 1 })
  const job = await service.ended((await service.call('backups.restore', { folder, file })).jobId)
  expect(job).toMatchObject({ state: 'done', error: null })
  expect((await service.call('panels.list', { filter: noFilter, sort: 'code' })).panels).toHaveLength(1)
  const { photos } = await service.call('photos.listTray', {})
  expect(photos.map((photo) => photo.sha256)).toEqual([sha256])
})

test('a backup that is damaged is refused and the rack goes on as it was', async () => {
  const { service, folder } = await rackWith(['A'])
  const file = await backUp(service)
  const path = join(folder, 'backups', file)
  const bytes = readFileSync(path)
  bytes[bytes.length - 7]! ^= 4
  writeFileSync(path, bytes)
  expect(await service.refusal('backups.preview', { folder, file })).toMatchObject({ code: 'backup/damaged' })
  const before = await dump(service.context.rack())
  const job = await service.ended((await service.call('backups.restore', { folder, file })).jobId)
  expect(job).toMatchObject({ state: 'failed', error: { code: 'backup/damaged' } })
  expect(await dump(service.context.rack())).toBe(before)
  expect(await service.refusal('backups.restore', { folder, file: 'none.sqlite' })).toMatchObject({
    code: 'backup/absent',
  })
})

test('a second place holds records and photos, and makes a whole rack again somewhere else', async () => {
  const { service, folder } = await rackWith(['A'])
  await takeIn(service, 4)
  await backUp(service)
  const disk = join(service.folder, 'disk')
  mkdirSync(disk)
  const chosen = await service.call('secondPlace.choose', { folder: disk })
  expect(chosen.second).toMatchObject({ chosen: disk, sameDisk: true })
  await copied(service)
  const { second } = await service.call('backups.describe', {})
  expect(second).toMatchObject({ state: 'whole', photos: 1, trouble: null })
  const place = second!.folder
  expect(filesIn(join(place, 'photos'))).toEqual(filesIn(join(folder, 'photos')))
  expect(filesIn(place).filter((name) => /part$|rack\.sqlite$/.test(name))).toEqual([])

  const to = join(service.folder, 'elsewhere')
  const before = await dump(service.context.rack())
  const job = await service.ended(
    (await service.call('backups.restoreElsewhere', { from: place, file: null, to })).jobId,
  )
  expect(job).toMatchObject({ state: 'done', error: null })
  expect(service.context.rack().folder).toBe(to)
  expect(await dump(service.context.rack())).toBe(before)
  for (const name of filesIn(join(folder, 'photos')))
    expect(readFileSync(join(to, 'photos', name))).toEqual(readFileSync(join(folder, 'photos', name)))
  expect(await service.refusal('backups.restoreElsewhere', { from: place, file: null, to: folder })).toMatchObject({
    code: 'rack/already-one',
  })
  // by hand, with nothing but copying
  const byHand = join(service.folder, 'by hand')
  cpSync(place, byHand, { recursive: true })
  const [newest] = readdirSync(join(byHand, 'backups')).filter((name) => name.endsWith('.sqlite'))
  cpSync(join(byHand, 'backups', newest!), join(byHand, 'rack.sqlite'))
  await service.call('rack.open', { folder: byHand })
  expect(await dump(service.context.rack())).toBe(before)
})

test('a second place that is unplugged is said, nothing is written where it was, and copying goes on when it is back', async () => {
  const { service } = await rackWith(['A'])
  const disk = join(service.folder, 'disk')
  mkdirSync(disk)
  await service.call('secondPlace.choose', { folder: disk })
  await copied(service)
  await backUp(service)
  const away = join(service.folder, 'away')
  renameSync(disk, away)
  // where a drive was mounted, an empty folder stays
  mkdirSync(disk)
  const sha256 = await takeIn(service, 5)
  const { jobId } = await service.call('backups.make', {})
  expect((await service.ended(jobId)).outcome).toContain('The second place is not there now.')
  expect(await service.call('backups.describe', {})).toMatchObject({
    trouble: null,
    last: { state: 'whole' },
    second: { state: 'absent', trouble: { code: 'second-place/absent' } },
  })
  expect(readdirSync(disk)).toEqual([])
  rmSync(disk, { recursive: true })
  renameSync(away, disk)
  const again = await service.call('secondPlace.copyNow', {})
  expect(await service.ended(again.jobId)).toMatchObject({ state: 'done' })
  const { second } = await service.call('backups.describe', {})
  expect(second).toMatchObject({ state: 'whole', photos: 1 })
  expect(filesIn(join(second!.folder, 'photos')).join()).toContain(sha256)
})

test('places that would be no second place are refused in words', async () => {
  const { service, folder } = await rackWith(['A'])
  const choose = (wanted: string) => service.refusal('secondPlace.choose', { folder: wanted })
  expect(await choose(join(folder, 'photos'))).toMatchObject({ code: 'second-place/inside-rack' })
  expect(await choose(folder)).toMatchObject({ code: 'second-place/inside-rack' })
  expect(await choose(join(service.folder, 'nowhere'))).toMatchObject({ code: 'second-place/absent' })
  const other = await freshRack()
  expect(await choose(other.folder)).toMatchObject({ code: 'second-place/is-a-rack' })
  expect(await service.refusal('secondPlace.copyNow', {})).toMatchObject({ code: 'second-place/none' })
})

test('a damaged original is not carried over a whole one, and is told', async () => {
  const { service, folder } = await rackWith(['A'])
  await takeIn(service, 6)
  await takeIn(service, 7)
  const disk = join(service.folder, 'disk')
  mkdirSync(disk)
  await service.call('secondPlace.choose', { folder: disk })
  await copied(service)
  const place = (await service.call('backups.describe', {})).second!.folder
  const [one, two] = filesIn(join(folder, 'photos'))
  const whole = readFileSync(join(folder, 'photos', one!))
  rmSync(join(folder, 'photos', one!))
  writeFileSync(join(folder, 'photos', one!), Buffer.concat([whole.subarray(1), Buffer.from([0])]))
  rmSync(join(place, 'photos', two!))
  rmSync(join(folder, 'photos', two!))
  writeFileSync(join(folder, 'photos', two!), 'damaged')
  await service.ended((await service.call('secondPlace.copyNow', {})).jobId)
  expect(readFileSync(join(place, 'photos', one!))).toEqual(whole)
  expect(existsSync(join(place, 'photos', two!))).toBe(false)
  const { second } = await service.call('backups.describe', {})
  expect(second).toMatchObject({ state: 'failed', trouble: { code: 'second-place/originals-damaged' } })
})

test('each day has its backup by itself, when something was changed; three days without one are told', async () => {
  const rack = await freshRack()
  const app = freshFolder()
  let now = new Date('2031-05-05T09:00:00')
  vi.useFakeTimers({ now, toFake: ['Date'] })
  try {
    const log = openLog(app, async () => [])
    const jobs = makeJobs(() => undefined, log)
    const keeper = makeBackupKeeper(
      { jobs, log, places: await openSecondPlaces(app) },
      { firstMs: 60 * 60_000, everyMs: 60 * 60_000, now: () => now },
    )
    const open = async () => {
      keeper.follow(rack)
      await keeper.look(rack)
      while (jobs.list().some(({ state }) => state === 'running'))
        await new Promise((resolve) => setTimeout(resolve, 5))
      await keeper.leave()
      return readdirSync(join(rack.folder, 'backups')).filter((name) => name.endsWith('.sqlite')).length
    }
    const on = (day: string) => {
      now = new Date(day)
      vi.setSystemTime(now)
    }
    expect(await open()).toBe(0) // nothing is in it
    await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
    expect(await open()).toBe(1)
    await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
    expect(await open()).toBe(1) // this day has its own
    on('2031-05-06T00:10:00')
    expect(await open()).toBe(2)
    on('2031-05-07T09:00:00')
    expect(await open()).toBe(2) // nothing was changed
    await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
    on('2031-05-20T09:00:00')
    expect((await keeper.cautions(rack)).map(({ code }) => code)).toEqual(['backup/overdue'])
    expect(await open()).toBe(3)
    expect(await keeper.cautions(rack)).toEqual([])
    // a clock that went back a year: what is there is newer, and the day has its backup all the same
    on('2030-05-20T09:00:00')
    await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
    expect(await open()).toBe(4)
  } finally {
    vi.useRealTimers()
  }
})

test('what follows a restore is done at the next opening when the service ended in between', async () => {
  const { service, folder } = await rackWith(['A'])
  const file = await backUp(service)
  const { panel } = await service.call('panels.save', { draft: draft({ title: 'B' }) })
  const sha256 = await takeIn(service, 8)
  await service.call('rack.close', {})
  // as far as the job comes before the rack is opened again
  await putBack(folder, file, { followUp: true })
  await service.call('rack.open', { folder })
  await expect
    .poll(async () => (await service.call('photos.listTray', {})).photos.map((photo) => photo.sha256))
    .toEqual([sha256])
  await expect.poll(() => existsSync(join(folder, 'restored.json'))).toBe(false)
  expect((await service.call('panels.save', { draft: draft({ title: 'C' }) })).panel.code).not.toBe(panel.code)
})

test('a rack is made again from the folder that was named, when one second place lies in it; several are told apart', async () => {
  const { service } = await rackWith(['A'])
  const disk = join(service.folder, 'disk')
  mkdirSync(join(disk, 'holiday pictures'), { recursive: true })
  await service.call('secondPlace.choose', { folder: disk })
  await copied(service)
  await backUp(service)
  await service.ended((await service.call('secondPlace.copyNow', {})).jobId)
  const before = await dump(service.context.rack())
  const { second } = await service.call('backups.describe', {})
  await service.call('rack.close', {})
  expect((await service.call('secondPlace.find', { folder: disk })).places).toEqual([
    { folder: second?.folder, rackName: 'North wall', newest: expect.any(String) },
  ])

  const to = join(service.folder, 'again')
  const { jobId } = await service.call('backups.restoreElsewhere', { from: disk, file: null, to })
  expect(await service.ended(jobId)).toMatchObject({ state: 'done', error: null })
  expect(await dump(service.context.rack())).toBe(before)
  await service.call('rack.close', {})

  cpSync(second!.folder, join(disk, 'another second place'), { recursive: true })
  const asked = { from: disk, file: null, to: join(service.folder, 'third') }
  expect(await service.refusal('backups.restoreElsewhere', asked)).toMatchObject({ code: 'second-place/several' })
  expect((await service.call('secondPlace.find', { folder: disk })).places).toHaveLength(2)
  expect(existsSync(asked.to)).toBe(false)
})

test('what cannot make a rack is refused at once or fails in words, and leaves no empty folder', async () => {
  const { service } = await rackWith(['A'])
  await backUp(service)
  const rackFolder = service.context.rack().folder
  await service.call('rack.close', {})
  const to = join(service.folder, 'never', 'made')
  const nothing = join(service.folder, 'nothing')
  mkdirSync(nothing)
  expect(await service.refusal('backups.restoreElsewhere', { from: nothing, file: null, to })).toMatchObject({
    code: 'backup/none-good',
  })
  expect(existsSync(join(service.folder, 'never'))).toBe(false)

  // damaged in its middle: seen only when it is read to its end
  const place = join(service.folder, 'place')
  cpSync(join(rackFolder, 'backups'), join(place, 'backups'), { recursive: true })
  for (const name of readdirSync(join(place, 'backups')).filter((one) => one.endsWith('.sqlite'))) {
    const bytes = readFileSync(join(place, 'backups', name))
    bytes[bytes.length - 100] = (bytes.at(-100) ?? 0) ^ 0xff
    writeFileSync(join(place, 'backups', name), bytes)
  }
  const { jobId } = await service.call('backups.restoreElsewhere', { from: place, file: null, to })
  expect(await service.ended(jobId)).toMatchObject({ state: 'failed', error: { code: 'backup/none-good' } })
  expect(existsSync(join(service.folder, 'never'))).toBe(false)
})

test('with an original that is damaged not everything is in the second place; whole again, it is', async () => {
  const { service, folder } = await rackWith(['A'])
  const disk = join(service.folder, 'disk')
  mkdirSync(disk)
  const sha256 = await takeIn(service, 7)
  const original = join(folder, 'photos', sha256.slice(0, 2), `${sha256}.jpg`)
  const whole = readFileSync(original)
  writeFileSync(original, Buffer.concat([whole.subarray(0, -1), Buffer.from([(whole.at(-1) ?? 0) ^ 1])]))
  await service.call('secondPlace.choose', { folder: disk })
  await copied(service)
  const told = (await service.call('backups.describe', {})).second
  expect(told).toMatchObject({
    state: 'failed',
    wholeAt: null,
    photos: 0,
    trouble: { code: 'second-place/originals-damaged', message: expect.stringContaining('was not copied') },
  })
  const job = await service.ended((await service.call('backups.make', {})).jobId)
  expect(job.outcome).not.toContain('up to date')

  writeFileSync(original, whole)
  await service.ended((await service.call('check.start', {})).jobId)
  await copied(service)
  expect((await service.call('backups.describe', {})).second).toMatchObject({
    state: 'whole',
    wholeAt: expect.any(String),
    photos: 1,
    trouble: null,
  })
})
