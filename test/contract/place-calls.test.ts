import { chmodSync, mkdirSync, readdirSync, renameSync, rmSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import { thisHolder } from '../../electron/rack/opening/lock-holder.ts'
import { calls } from '../../shared-core/contract/calls.ts'
import { allowedWhileReading } from '../../shared-core/contract/while-reading.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { everything } from '../rack/everything.ts'
import { draft } from '../rack/fresh.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { box, noHelp, panelPhoto } from './panel-photo.ts'

/** A closed rack with a filed photo, whose small pictures are not there. */
async function shopRack(service: BenchService, name = 'Shop'): Promise<{ folder: string; photo: string; cut: string }> {
  const { call, ended } = service
  const folder = join(service.folder, name)
  await call('rack.create', { folder, name })
  const { panel } = await call('panels.save', { draft: draft() })
  const path = await panelPhoto(join(service.folder, `${name}.png`), 1, 600, 400)
  const { jobId } = await call('photos.takeIn', { files: [{ path, name: 'panel.png' }] })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  const { readings } = await call('photos.file', {
    photoId,
    panelId: panel.id,
    layout: {
      areas: [{ stepId: panel.steps[0]?.id ?? null, shape: { kind: 'quad', quad: box(30, 30, 300, 160) } }],
      card: { quad: box(400, 30, 160, 280), lab: { l: 50, a: 0, b: 0 } },
    },
    ageDays: null,
    lightId: null,
    view: 'face',
    stage: 'dry',
    ...noHelp,
  })
  const { photos } = await call('photos.getMany', { photoIds: [photoId] })
  await call('rack.close', {})
  for (const shelf of readdirSync(join(folder, 'renditions')))
    rmSync(join(folder, 'renditions', shelf), { recursive: true })
  return { folder, photo: photos[0]?.sha256 ?? '', cut: readings[0]?.cut ?? '' }
}

const onNetwork = (part: string) => ({
  whereIs: async (folder: string) =>
    folder.includes(part) ? ({ where: 'network', name: 'nfs4' } as const) : ({ where: 'here', name: 'ext4' } as const),
})

test('a rack on a network is opened to be looked at: everything is shown, nothing is written', async () => {
  const owner = await benchService()
  const { folder, photo, cut } = await shopRack(owner)
  const { call, refusal, context } = await benchService(onNetwork('Shop'))
  const before = everything(folder)
  const info = await call('rack.open', { folder })
  expect(info.access).toMatchObject({ mode: 'reading', why: 'network' })
  expect(Date.parse(info.access.asOf ?? '')).toBeGreaterThan(Date.now() - 60_000)
  expect(info).toMatchObject({ panelCount: 1, cautions: [] })
  expect((await call('panels.list', { filter: noFilter, sort: 'code' })).total).toBe(1)
  // pictures are made in the application's own folder
  for (const key of [`photo/${photo}/thumb`, `cut/${cut}`, `cut/${cut}/small`]) {
    const { path, inside } = await call('pictures.locate', { key })
    expect(path.startsWith(join(context.appFiles.folder, 'looked-at'))).toBe(true)
    expect(path.startsWith(inside)).toBe(true)
  }
  const { lights } = await call('lights.list', {})
  expect(lights.length).toBeGreaterThan(0)
  expect(await refusal('panels.save', { draft: draft() })).toMatchObject({
    code: 'rack/reading-only',
    remedy: expect.stringContaining('Copy it to this computer'),
  })
  expect(everything(folder)).toEqual(before)
  await call('rack.close', {})
  expect(everything(folder)).toEqual(before)
  expect(readdirSync(join(context.appFiles.folder, 'looked-at'))).toEqual([])
})

test('every command and job is refused on a rack that is only looked at, but for those that write nothing into it', async () => {
  const owner = await benchService()
  const { folder } = await shopRack(owner)
  const { call, refusal } = await benchService(onNetwork('Shop'))
  await call('rack.open', { folder })
  const changing = Object.entries(calls).filter(
    ([name, { kind }]) => kind !== 'query' && !allowedWhileReading.has(name),
  )
  expect(changing.length).toBeGreaterThan(30)
  for (const [name, { input }] of changing) {
    // whatever is asked: the refusal comes before the asking is looked at
    if (!input.safeParse({}).success) continue
    expect(await refusal(name, {})).toMatchObject({ code: 'rack/reading-only' })
  }
  for (const name of allowedWhileReading) expect(Object.keys(calls)).toContain(name)
})

test('pictures that lie in the rack already are shown from there', async () => {
  const owner = await benchService()
  const { folder, photo } = await shopRack(owner)
  await owner.call('rack.open', { folder })
  const made = (await owner.call('pictures.locate', { key: `photo/${photo}/thumb` })).path
  await owner.call('rack.close', {})
  const { call } = await benchService(onNetwork('Shop'))
  await call('rack.open', { folder })
  expect((await call('pictures.locate', { key: `photo/${photo}/thumb` })).path).toBe(made)
})

test('it is copied to this computer by a job, and open there with every right', async () => {
  const owner = await benchService()
  const { folder, photo } = await shopRack(owner)
  const service = await benchService(onNetwork('Shop'))
  const { call, refusal, ended } = service
  await call('rack.open', { folder })
  expect(await refusal('rack.copyHere', { folder: join(service.folder, 'Shop too') })).toMatchObject({
    code: 'rack/on-network',
  })
  const before = everything(folder)
  const target = join(service.folder, 'own')
  const { jobId } = await call('rack.copyHere', { folder: target })
  const job = await ended(jobId)
  expect(job).toMatchObject({ state: 'done', kind: 'copy', outcome: expect.stringContaining('with 1 photo,') })
  expect(everything(folder)).toEqual(before)
  const { rack } = await call('rack.describe', {})
  expect(rack).toMatchObject({ folder: target, access: { mode: 'full' }, panelCount: 1 })
  expect((await call('pictures.locate', { key: `photo/${photo}/thumb` })).path.startsWith(target)).toBe(true)
  await call('panels.save', { draft: draft() })
  // where it came from is only looked at, so that nobody confuses the two
  expect((await call('rack.describe', {})).rack?.cautions.map(({ code }) => code)).not.toContain('rack/same-twice')
})

test('a rack that another service has open can be looked at, read again as it goes on, and opened once it is free', async () => {
  const owner = await benchService()
  const { folder } = await shopRack(owner)
  await owner.call('rack.open', { folder })
  const { call, refusal, events } = await benchService()
  // as a service in a process of its own would be: the same lock refuses it
  expect(await refusal('rack.open', { folder })).toMatchObject({ code: 'rack/locked' })
  const { holder } = await call('rack.whoHolds', { folder })
  expect(holder).toMatchObject({ here: true, quiet: false })
  expect(await refusal('rack.takeOver', { folder, nonce: holder?.nonce ?? '' })).toMatchObject({ code: 'rack/locked' })
  expect((await call('rack.open', { folder, how: 'reading' })).access).toMatchObject({ mode: 'reading', why: 'in-use' })
  await owner.call('panels.save', { draft: draft({ title: 'meanwhile' }) })
  expect((await call('panels.list', { filter: noFilter, sort: 'code' })).total).toBe(1)
  expect((await call('rack.readAgain', {})).panelCount).toBe(2)
  expect((await call('panels.list', { filter: noFilter, sort: 'code' })).total).toBe(2)
  expect(events.map(({ name }) => name)).not.toContain('rack.closed')
  await owner.call('rack.close', {})
  expect((await call('rack.open', { folder })).access.mode).toBe('full')
  await call('panels.save', { draft: draft() })
})

test('a folder that nothing may be written to is opened to be looked at', async () => {
  const owner = await benchService()
  const { folder } = await shopRack(owner)
  chmodSync(folder, 0o555)
  onTestFinished(() => chmodSync(folder, 0o755))
  const { call } = await benchService()
  expect((await call('rack.open', { folder })).access).toMatchObject({ mode: 'reading', why: 'read-only' })
})

test('where nobody knows whether a folder lies here, the painter’s word is remembered', async () => {
  const owner = await benchService()
  const { folder } = await shopRack(owner)
  const service = await benchService({ whereIs: async () => ({ where: 'unknown', name: 'fuse' }) })
  const { call } = service
  expect((await call('rack.open', { folder })).access).toMatchObject({ mode: 'reading', why: 'unknown' })
  expect((await call('rack.open', { folder, how: 'local' })).access.mode).toBe('full')
  await call('rack.close', {})
  expect((await call('rack.open', { folder })).access.mode).toBe('full')
})

const codes = async ({ call }: BenchService) => (await call('rack.describe', {})).rack?.cautions.map(({ code }) => code)

test('a drive that is pulled out is told, and when it is back work goes on by itself', async () => {
  const service = await benchService()
  const { call, refusal, context } = service
  const { folder } = await shopRack(service)
  await call('rack.open', { folder })
  renameSync(folder, `${folder} away`)
  expect(await refusal('panels.save', { draft: draft() })).toMatchObject({ code: 'rack/drive-gone' })
  await context.current.lookAround()
  expect(await codes(service)).toEqual(['rack/drive-gone'])
  renameSync(`${folder} away`, folder)
  // whoever asks while something presses has it looked at again
  await call('rack.describe', {})
  await expect.poll(() => codes(service)).toEqual([])
  await call('panels.save', { draft: draft() })
  expect((await call('rack.describe', {})).rack?.panelCount).toBe(2)
})

test('records that another program replaced: told, both kept, and what lies there is opened', async () => {
  const service = await benchService()
  const { call, refusal, context } = service
  const { folder } = await shopRack(service)
  const other = await shopRack(service, 'Other')
  await call('rack.open', { folder })
  await call('panels.save', { draft: draft({ title: 'mine' }) })
  renameSync(join(other.folder, 'rack.sqlite'), join(folder, 'rack.sqlite'))
  expect(await refusal('panels.save', { draft: draft() })).toMatchObject({ code: 'rack/replaced' })
  await context.current.lookAround()
  expect(await codes(service)).toEqual(['rack/replaced'])
  const { backup, rack } = await call('rack.keepBoth', {})
  expect(rack).toMatchObject({ folder, name: 'Other', panelCount: 1 })
  expect(readdirSync(join(folder, 'backups'))).toContain(backup)
  await call('panels.save', { draft: draft() })
})

test('signs of synced folders and the painter’s own word, and a copy of the same rack', async () => {
  const service = await benchService()
  const { call, context } = service
  const { folder } = await shopRack(service)
  await call('rack.open', { folder })
  await context.current.lookAround()
  expect(await codes(service)).toEqual([])
  await call('rack.setKeptInSync', { keptInSync: true })
  expect(await codes(service)).toEqual(['rack/synced'])
  await call('rack.setKeptInSync', { keptInSync: false })
  writeFileSync(join(folder, 'rack (conflicted copy 2031-05-01).sqlite'), 'x')
  await context.current.lookAround()
  expect(await codes(service)).toEqual(['rack/conflict-copies'])
  rmSync(join(folder, 'rack (conflicted copy 2031-05-01).sqlite'))

  const { jobId } = await call('rack.copyHere', { folder: join(service.folder, 'copy') })
  expect((await service.ended(jobId)).state).toBe('done')
  await context.current.lookAround()
  expect((await call('rack.describe', {})).rack).toMatchObject({
    folder: join(service.folder, 'copy'),
    cautions: [{ code: 'rack/same-twice', message: expect.stringContaining(folder) }],
  })
})

test('a rack that was moved while it was closed is found; one with another’s lock is taken over when that is quiet', async () => {
  const service = await benchService()
  const { call, refusal } = service
  const { folder } = await shopRack(service)
  const moved = join(service.folder, 'deeper', 'renamed')
  mkdirSync(join(service.folder, 'deeper'))
  renameSync(folder, moved)
  expect(await refusal('rack.open', { folder })).toMatchObject({ code: 'rack/folder-absent' })
  expect((await call('rack.findMoved', { folder })).found).toEqual([{ folder: moved, name: 'Shop' }])
  expect((await call('rack.findMoved', { folder: '/never/seen' })).found).toEqual([])

  const theirs = { ...thisHolder('theirs'), host: 'the-other-bench' }
  writeFileSync(join(moved, 'lock'), JSON.stringify(theirs))
  expect(await refusal('rack.open', { folder: moved })).toMatchObject({ code: 'rack/locked' })
  expect((await call('rack.whoHolds', { folder: moved })).holder).toMatchObject({
    host: 'the-other-bench',
    quiet: false,
  })
  expect(await refusal('rack.takeOver', { folder: moved, nonce: 'theirs' })).toMatchObject({ code: 'rack/locked' })
  const longAgo = new Date(Date.now() - 3600_000)
  utimesSync(join(moved, 'lock'), longAgo, longAgo)
  expect((await call('rack.whoHolds', { folder: moved })).holder).toMatchObject({ quiet: true })
})
