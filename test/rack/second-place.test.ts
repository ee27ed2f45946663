import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test, vi } from 'vitest'
import { backupsOf } from '../../electron/rack/backups/facts.ts'
import { listBackups } from '../../electron/rack/backups/list.ts'
import { makeRackFrom } from '../../electron/rack/backups/second-place/make-rack.ts'
import { mirror } from '../../electron/rack/backups/second-place/mirror.ts'
import { foundPlace } from '../../electron/rack/backups/second-place/place.ts'
import { pathByHash } from '../../electron/rack/disk/photo-store.ts'
import { openRack, type Rack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { draft, dump, freshFolder, freshRack } from './fresh.ts'

// processes and threads start slowly on a machine that is busy with other tests
vi.setConfig({ testTimeout: 120_000 })

/** A second place: files only ever whole, only those that are not there, and a rack again from it. */

function originals(rack: Rack, count: number, kind: 'photos' | 'data-sheets' = 'photos'): string[] {
  return Array.from({ length: count }, (_, i) => {
    const bytes = Buffer.alloc(40_000 + i, `${kind} ${i}`)
    const sha256 = createHash('sha256').update(bytes).digest('hex')
    const path = pathByHash(rack.folder, kind, sha256, kind === 'photos' ? 'jpg' : 'pdf')
    mkdirSync(join(path, '..'), { recursive: true })
    writeFileSync(path, bytes)
    return path
  })
}

async function placed(photos: number) {
  const rack = await freshRack()
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  originals(rack, photos)
  originals(rack, 2, 'data-sheets')
  await rack.backUp('daily')
  const { folder, marker } = await foundPlace(freshFolder(), {
    folder: rack.folder,
    rackId: rack.rackId,
    rackName: 'Test: rack?',
  })
  return { rack, place: { folder, placeId: marker.placeId } }
}
const named = (folder: string) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
const wholeByName = (path: string) =>
  createHash('sha256').update(readFileSync(path)).digest('hex') === basename(path).split('.')[0]

test('stopped anywhere, what has its name there is whole, and the next time goes on from there', async () => {
  const { rack, place } = await placed(12)
  expect(basename(place.folder)).toBe('Test rack second place')
  const stop = new AbortController()
  await expect(
    mirror(rack.folder, place, { signal: stop.signal, onProgress: (_, done) => done === 5 && stop.abort() }),
  ).rejects.toMatchObject({ name: 'AbortError' })
  const there = named(join(place.folder, 'photos'))
  expect(there).toHaveLength(5)
  expect(there.every(wholeByName)).toBe(true)
  // a crash in the middle of a file
  writeFileSync(join(there[0]!, '..', '.cut-short.part'), 'half')
  expect(await mirror(rack.folder, place)).toMatchObject({ copied: 7 + 2, files: 14, damaged: [] })
  expect(named(place.folder).filter((path) => path.endsWith('.part'))).toEqual([])
  expect(await mirror(rack.folder, place)).toMatchObject({ copied: 0, files: 14 })
  expect((await listBackups(place.folder)).map(({ state }) => state)).toEqual(['whole'])
})

test('a place without room for the photos still gets the records, says how much is missing, and goes on later', async () => {
  const { rack, place } = await placed(3)
  await expect(mirror(rack.folder, place, { room: async () => 90_000 })).rejects.toMatchObject({
    code: 'second-place/full',
    message: 'The second place has room for 90 kB, and 201 kB are missing there.',
  })
  expect(named(join(place.folder, 'photos'))).toEqual([])
  expect(await listBackups(place.folder)).toHaveLength(1)
  expect(await mirror(rack.folder, place)).toMatchObject({ copied: 5 })
})

test('a folder that is not the place that was chosen gets nothing', async () => {
  const { rack, place } = await placed(1)
  rmSync(join(place.folder, 'second-place.json'))
  await expect(mirror(rack.folder, place)).rejects.toMatchObject({ code: 'second-place/absent' })
  expect(named(join(place.folder, 'photos'))).toEqual([])
  // chosen again, it gets a folder of its own beside what lies there
  const chosen = join(place.folder, '..')
  const again = await foundPlace(chosen, { folder: rack.folder, rackId: rack.rackId, rackName: 'Test: rack?' })
  expect(basename(again.folder)).toBe('Test rack second place 2')
  // and is known again by any computer
  const found = await foundPlace(again.folder, { folder: rack.folder, rackId: rack.rackId, rackName: 'renamed' })
  expect(found.marker.placeId).toBe(again.marker.placeId)
  await expect(
    foundPlace(again.folder, { folder: rack.folder, rackId: 'another', rackName: 'x' }),
  ).rejects.toMatchObject({ code: 'second-place/of-another-rack' })
})

test('a damaged backup is not carried on; a rack made from the place takes the newest whole one', async () => {
  const { rack, place } = await placed(2)
  await mirror(rack.folder, place)
  const before = await dump(rack)
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title: 'later' })))
  const later = await rack.backUp('by-hand')
  const bytes = readFileSync(later)
  bytes[bytes.length - 90]! ^= 1
  writeFileSync(later, bytes)
  await mirror(rack.folder, place)
  expect(readdirSync(backupsOf(place.folder)).filter((name) => name.endsWith('.sqlite'))).toHaveLength(1)
  const to = join(freshFolder(), 'again')
  expect(await makeRackFrom(place.folder, null, to)).toMatchObject({ photos: 2, missing: 0 })
  const again = await openRack(to)
  expect(await dump(again)).toBe(before)
  await again.close()
  expect(named(join(to, 'data-sheets')).every(wholeByName)).toBe(true)
})

test('making a rack that is stopped leaves the folder empty', async () => {
  const { rack, place } = await placed(4)
  await mirror(rack.folder, place)
  const stop = new AbortController()
  const to = join(freshFolder(), 'again')
  const making = makeRackFrom(place.folder, null, to, { signal: stop.signal, onProgress: () => stop.abort() })
  await expect(making).rejects.toMatchObject({ name: 'AbortError' })
  expect(readdirSync(to)).toEqual([])
  await expect(makeRackFrom(freshFolder(), null, to)).rejects.toMatchObject({ code: 'backup/none-good' })
})

test('a place from a stranger: what is no file is not waited for, links lead nowhere else, another schema is refused', async () => {
  const { rack, place } = await placed(2)
  await mirror(rack.folder, place)
  const secret = join(freshFolder(), 'secret')
  writeFileSync(secret, 'not a photo')
  const [photo] = named(join(place.folder, 'photos'))
  rmSync(photo!)
  symlinkSync(secret, photo!)
  const to = join(freshFolder(), 'again')
  // what a link leads to is not what its name says
  expect(await makeRackFrom(place.folder, null, to)).toMatchObject({ photos: 1 })
  expect(named(join(to, 'photos'))).toHaveLength(1)

  const [backup] = await listBackups(place.folder)
  const path = join(backupsOf(place.folder), backup!.file)
  const raw = new Database(path)
  raw.exec('create trigger sly after insert on panel begin delete from panel; end')
  raw.close()
  rmSync(`${path}.json`)
  spawnSync('mkfifo', [`${path}.json`])
  await expect(makeRackFrom(place.folder, backup!.file, join(freshFolder(), 'x'))).rejects.toMatchObject({
    code: 'backup/damaged',
  })
})
