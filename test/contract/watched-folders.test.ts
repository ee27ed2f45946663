import {
  appendFileSync,
  copyFileSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { expect, test } from 'vitest'
import type { WatchedFolder } from '../../shared-core/contract/watch-calls.ts'
import { photoSupply } from '../faults/kit/many-photos.ts'
import { benchService } from './bench-service.ts'

const quick = { wholeMs: 40, otherMs: 400, cutMs: 800, restMs: 60, busyMs: 20, mostPhotos: 1000 }

async function bench() {
  const service = await benchService({ watchPace: quick })
  const rack = join(service.folder, 'rack')
  await service.call('rack.create', { folder: rack, name: 'Bench' })
  const card = join(service.folder, 'card')
  mkdirSync(join(card, 'DCIM', '100SHOP'), { recursive: true })
  const supply = await photoSupply(join(service.folder, 'supply'))
  /** Files on the desk, and how a camera's program puts one into the card's folder. */
  const photo = () => {
    const [one] = supply(1)
    if (!one) throw new Error('no photo')
    return { ...one, bytes: readFileSync(one.path) }
  }
  const put = (name: string, given = photo()) => {
    writeFileSync(join(card, 'DCIM', '100SHOP', name), given.bytes)
    return given
  }
  const hashes = async (): Promise<string[]> => {
    const rows = await service.context
      .rack()
      .db.selectFrom('photo')
      .select('sha256')
      .where('deleted_at', 'is', null)
      .execute()
    return rows.map(({ sha256 }) => sha256)
  }
  const only = async (): Promise<WatchedFolder> => {
    const { folders } = await service.call('watched.list', {})
    if (!folders[0]) throw new Error('nothing is watched')
    return folders[0]
  }
  /** Until it holds; the test's own limit ends what never does. */
  const until = async (holds: () => Promise<boolean>) => {
    while (!(await holds())) await pause(10)
  }
  /** Until the folder was looked into some more times and nothing is under way. */
  const quiet = async () => {
    for (let looks = 0, last = ''; looks < 4; ) {
      const { lookedAt, coming, trouble } = await only()
      const isWorking = service.context.jobs.list().some(({ state }) => state === 'running')
      if (coming > 0 || isWorking || trouble) looks = 0
      else if (lookedAt !== null && lookedAt !== last) looks++
      last = lookedAt ?? last
      await pause(10)
    }
  }
  return { ...service, rack, card, photo, put, hashes, only, until, quiet }
}

test('photos that come into a watched folder, some in pieces, are taken in once each; the folder stays as it is', async () => {
  const { call, card, photo, put, hashes, only, until, quiet } = await bench()
  const there = put('before.jpg')
  expect(await call('watched.look', { path: card })).toEqual({ path: card, photos: 1 })
  const { folder } = await call('watched.add', { path: card, takeThoseThere: false })
  expect(folder).toMatchObject({ path: card, isOn: true, taken: 0, coming: 0, trouble: null })

  const whole = Array.from({ length: 24 }, (_, i) => put(`IMG_${i}.jpg`).sha256)
  const slow = photo()
  const path = join(card, 'slow.jpg')
  for (let from = 0; from < slow.bytes.length; from += 400) {
    appendFileSync(path, slow.bytes.subarray(from, from + 400))
    await pause(30)
  }
  // cut for longer than anybody waits: refused, and taken as soon as it is whole
  const stalled = photo()
  writeFileSync(join(card, 'stalled.jpg'), stalled.bytes.subarray(0, -40))
  writeFileSync(join(card, 'half.jpg.part'), photo().bytes)
  writeFileSync(join(card, '.hidden.jpg'), photo().bytes)
  const outside = photo()
  symlinkSync(outside.path, join(card, 'link.jpg'))
  await until(async () => (await only()).refused === 1)
  appendFileSync(join(card, 'stalled.jpg'), stalled.bytes.subarray(-40))
  const wanted = [...whole, slow.sha256, stalled.sha256]
  await until(async () => (await hashes()).length >= wanted.length)
  await quiet()
  expect((await hashes()).toSorted()).toEqual(wanted.toSorted())
  expect(await hashes()).not.toContain(there.sha256)
  // what was refused while it was cut is no news any more
  expect(await only()).toMatchObject({ taken: wanted.length, refused: 0, trouble: null })
  // as it was put there
  expect(readFileSync(path).equals(slow.bytes)).toBe(true)
})

test('what was thrown away, undone, renamed or copied does not come again', async () => {
  const { call, card, put, hashes, only, until, quiet } = await bench()
  const there = put('before.jpg')
  await call('watched.add', { path: card, takeThoseThere: false })
  put('a.jpg')
  const b = put('b.jpg')
  await until(async () => (await hashes()).length === 2)
  await quiet()
  const [first] = (await call('photos.listWaiting', {})).ids
  await call('photos.discard', { photoId: first ?? '' })
  await quiet()
  expect(await hashes()).toHaveLength(1)
  // the discarding, and one or two intakes
  for (let steps = 0; steps === 0 || (await hashes()).length > 0; steps++) await call('history.undo', {})

  const dir = join(card, 'DCIM', '100SHOP')
  renameSync(join(dir, 'a.jpg'), join(dir, 'renamed.jpg'))
  put('copy of b.jpg', b)
  renameSync(join(dir, 'before.jpg'), join(dir, 'before, renamed.jpg'))
  put('copy of before.jpg', there)
  await quiet()
  expect(await hashes()).toEqual([])
  const c = put('c.jpg')
  await until(async () => (await hashes()).includes(c.sha256))
  await quiet()
  expect(await hashes()).toEqual([c.sha256])
  expect(await only()).toMatchObject({ taken: 3 })
})

test('turned off nothing is taken; the folder gone is said and waited for; a restart knows what it had', async () => {
  const { call, card, rack, put, hashes, only, until, quiet } = await bench()
  const first = put('first.jpg')
  const { folder } = await call('watched.add', { path: card, takeThoseThere: true })
  await until(async () => (await hashes()).length === 1)
  await quiet()
  expect((await call('watched.turn', { folderId: folder.id, on: false })).folder).toMatchObject({
    isOn: false,
    coming: 0,
  })
  const second = put('second.jpg')
  await pause(200)
  expect(await hashes()).toEqual([first.sha256])
  await call('watched.turn', { folderId: folder.id, on: true })
  await until(async () => (await hashes()).length === 2)
  await quiet()

  // the card is pulled out and comes back with more on it
  renameSync(card, `${card} in the camera`)
  await until(async () => (await only()).trouble?.code === 'watched/gone')
  renameSync(`${card} in the camera`, card)
  const third = put('third.jpg')
  await until(async () => (await hashes()).length === 3)
  await quiet()
  expect(await only()).toMatchObject({ trouble: null, taken: 3 })

  await call('rack.close', {})
  const fourth = put('fourth.jpg')
  await call('rack.open', { folder: rack })
  await until(async () => (await hashes()).length === 4)
  await quiet()
  expect((await hashes()).toSorted()).toEqual([first, second, third, fourth].map(({ sha256 }) => sha256).toSorted())
  await call('watched.remove', { folderId: folder.id })
  expect(await call('watched.list', {})).toEqual({ folders: [] })
  expect(await hashes()).toHaveLength(4)
})

test('what cannot be watched is said', async () => {
  const { call, refusal, card, rack, folder } = await bench()
  const add = async (path: string) => (await refusal('watched.add', { path, takeThoseThere: false })).code
  writeFileSync(join(folder, 'a file'), '')
  expect(await add(join(folder, 'nowhere'))).toBe('watched/no-folder')
  expect(await add(join(folder, 'a file'))).toBe('watched/no-folder')
  expect(await add('card')).toBe('watched/no-folder')
  expect(await add(rack)).toBe('watched/inside-rack')
  expect(await add(join(rack, 'photos'))).toBe('watched/inside-rack')
  await call('watched.add', { path: card, takeThoseThere: false })
  expect(await add(card)).toBe('watched/already')
  expect(await add(join(card, 'DCIM'))).toBe('watched/already')
  expect(await add(folder)).toBe('watched/already')
  for (let i = 1; i < 8; i++) {
    mkdirSync(join(folder, `more ${i}`))
    await call('watched.add', { path: join(folder, `more ${i}`), takeThoseThere: false })
  }
  mkdirSync(join(folder, 'ninth'))
  expect(await add(join(folder, 'ninth'))).toBe('watched/too-many')
  expect((await refusal('watched.turn', { folderId: 'none', on: false })).code).toBe('watched/absent')
  expect((await refusal('watched.remove', { folderId: 'none' })).code).toBe('watched/absent')
})

test('a rack carried to another computer watches no folder there', async () => {
  const { call, folder, card, rack, put, hashes, context } = await bench()
  await call('watched.add', { path: card, takeThoseThere: true })
  await call('rack.close', {})
  rmSync(join(folder, 'app', 'computer-id'))
  put('photo.jpg')
  await call('rack.open', { folder: rack })
  expect(await call('watched.list', {})).toEqual({ folders: [] })
  await pause(200)
  expect(await hashes()).toEqual([])
  expect(statSync(join(card, 'DCIM', '100SHOP', 'photo.jpg')).isFile()).toBe(true)
  expect(context.jobs.list()).toEqual([])
})

test('a rack that is restored into a watched folder is not taken in; another rack in the place of this one gets nothing', async () => {
  const { call, card, rack, put, hashes, only, until, quiet, context } = await bench()
  await call('watched.add', { path: card, takeThoseThere: true })
  const first = put('first.jpg')
  await until(async () => (await hashes()).length === 1)
  await quiet()
  writeFileSync(join(card, 'rack.sqlite'), '')
  put('of the other rack.jpg')
  await until(async () => (await only()).trouble?.code === 'watched/inside-rack')
  rmSync(join(card, 'DCIM', '100SHOP', 'of the other rack.jpg'))
  rmSync(join(card, 'rack.sqlite'))
  await until(async () => (await only()).trouble === null)
  expect(await hashes()).toEqual([first.sha256])

  // as programs do that keep a folder the same on several computers
  const { db } = context.rack()
  const noted = () => db.selectFrom('watched_file').select('path').execute()
  const before = await noted()
  copyFileSync(join(rack, 'rack.sqlite'), join(rack, 'rack.sqlite.tmp'))
  renameSync(join(rack, 'rack.sqlite.tmp'), join(rack, 'rack.sqlite'))
  put('second.jpg')
  await until(async () => (await only()).trouble?.code === 'rack/replaced')
  await pause(100)
  expect(await noted()).toEqual(before)
  expect(await hashes()).toEqual([first.sha256])
})
