/** Watched folders, part by part: what counts as known, what lies there, and how a file ends. */
import { chmodSync, mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import sharp from 'sharp'
import { describe, expect, onTestFinished, test } from 'vitest'
import {
  addWatched,
  endWatched,
  giveFiles,
  isKnownContent,
  type KnownFile,
  leaveWatched,
} from '../../electron/rack/queries/watched.ts'
import { usualPace } from '../../electron/service/watched/folder-watch.ts'
import { makeKnownFiles } from '../../electron/service/watched/known-files.ts'
import { photosBelow } from '../../electron/service/watched/photos-below.ts'
import { endingOf } from '../../electron/service/watched/whole-file.ts'
import { freshFolder } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'

const below = (folder: string) => photosBelow(folder, new AbortController().signal)

test('what an intake still has is not known: it may be refused, and then a copy elsewhere is the only one', async () => {
  const { call, context, folder } = await benchService()
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  const { db } = context.rack()
  await addWatched(db, { id: 'card', path: '/card', computer: 'here' }, [])
  const sha256 = 'a'.repeat(64)
  const given = { path: 'a.jpg', byteCount: 1, modifiedMs: 1, sha256 }
  const give = () => db.transaction().execute((tx) => giveFiles(tx, 'card', 'intake', [given]))
  const end = (fate: 'taken' | 'refused') =>
    db
      .transaction()
      .execute((tx) => endWatched(tx, 'intake', 0, { name: 'a.jpg', photoId: null, fate, why: null }, sha256))
  await give()
  expect(await isKnownContent(db, sha256)).toBe(false)
  await end('refused')
  expect(await isKnownContent(db, sha256)).toBe(false)
  await give()
  await db.transaction().execute((tx) => leaveWatched(tx, 'intake'))
  expect(await isKnownContent(db, sha256)).toBe(true)
  await give()
  await end('taken')
  expect(await isKnownContent(db, sha256)).toBe(true)
})

describe('a card whose times are told by the clock on the wall', () => {
  const hourMs = 3_600_000
  /** An even second, as FAT keeps them. */
  const taken = Date.parse('2031-03-20T10:00:02Z')
  const left: KnownFile = {
    path: 'DCIM/a.jpg',
    byteCount: 1000,
    modifiedMs: taken,
    state: 'there-before',
    sha256: null,
    why: null,
    tries: 0,
    seenAt: '2031-03-20T12:00:00Z',
  }
  const isLeftAlone = (changed: { path?: string; byteCount?: number; modifiedMs?: number }, before = left) => {
    const known = makeKnownFiles()
    known.add(before)
    const { path, byteCount, modifiedMs } = { ...before, ...changed }
    return known.sameAs({ path, byteCount, modifiedMs }, new Set([path])) !== undefined
  }

  test.each([
    ['summer time', hourMs],
    ['winter time', -hourMs],
    ['a zone of three quarters', 5.75 * hourMs],
    ['the other side of the world', -26 * hourMs],
    ['seconds that were cut as it was written out', -1500],
  ])('is left alone after %s', (_, by) => {
    const before = by === -1500 ? { ...left, modifiedMs: taken + 1500 } : left
    expect(isLeftAlone({ modifiedMs: before.modifiedMs + by }, before)).toBe(true)
  })

  test.each([
    ['of another size', { byteCount: 1001, modifiedMs: taken + hourMs }],
    ['under another name', { path: 'DCIM/b.jpg', modifiedMs: taken + hourMs }],
    ['of ten minutes later', { modifiedMs: taken + 600_000 }],
    ['of days later', { modifiedMs: taken + 27 * hourMs }],
    ['of about an hour later, to the millisecond', { modifiedMs: taken + hourMs + 1001 }],
  ])('a file %s is another', (_, changed) => {
    expect(isLeftAlone(changed)).toBe(false)
  })

  test('what was taken in is told by its bytes alone', () => {
    expect(isLeftAlone({ modifiedMs: taken + hourMs }, { ...left, state: 'taken' })).toBe(false)
  })
})

describe('what lies in a folder', () => {
  test.each([
    ['a rack', ['rack.sqlite']],
    ['a rack whose records are still coming', ['rack.sqlite.new']],
    ['a rack that is being made', ['lock', 'photos/']],
    ['a second place', ['second-place.json']],
  ])('is none of ours to take in from %s, nor from below it', async (_, marks) => {
    const folder = freshFolder()
    const own = join(folder, 'own')
    mkdirSync(join(own, 'shelf'), { recursive: true })
    for (const path of [join(folder, 'a.jpg'), join(own, 'b.jpg'), join(own, 'shelf', 'c.jpg')])
      writeFileSync(path, 'x')
    expect((await below(folder)).files).toHaveLength(3)
    for (const mark of marks) {
      if (mark.endsWith('/')) mkdirSync(join(own, mark))
      else writeFileSync(join(own, mark), '')
    }
    expect((await below(folder)).files.map(({ path }) => path)).toEqual(['a.jpg'])
    await expect(below(own)).rejects.toMatchObject({ code: 'watched/inside-rack' })
    await expect(below(join(own, 'shelf'))).rejects.toMatchObject({ code: 'watched/inside-rack' })
  })

  test('another program’s lock, or a folder of photos, makes no rack', async () => {
    const folder = freshFolder()
    writeFileSync(join(folder, 'lock'), '')
    mkdirSync(join(folder, 'more', 'photos'), { recursive: true })
    writeFileSync(join(folder, 'more', 'photos', 'a.jpg'), 'x')
    expect((await below(folder)).files).toHaveLength(1)
  })

  // nothing is closed to root
  test.skipIf(process.platform === 'win32' || process.getuid?.() === 0)('that cannot be read is said', async () => {
    const { call, refusal, folder } = await benchService()
    await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
    const closed = join(folder, 'card', 'closed')
    mkdirSync(closed, { recursive: true })
    chmodSync(closed, 0)
    onTestFinished(() => chmodSync(closed, 0o755))
    const path = join(folder, 'card')
    expect(await below(path)).toMatchObject({ files: [], unread: 'closed' })
    const refused = await refusal('watched.add', { path, takeThoseThere: false })
    expect(refused).toMatchObject({ code: 'watched/not-all-seen' })
    expect(refused.message).toContain('closed')
    expect(await call('watched.add', { path, takeThoseThere: true })).toMatchObject({ folder: { path } })
  })

  test('more than can be seen: nobody says that only new ones are taken in', async () => {
    const { call, refusal, folder } = await benchService({ watchPace: { ...usualPace, mostPhotos: 20 } })
    await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
    const path = join(folder, 'archive')
    mkdirSync(path)
    for (let i = 0; i <= 20; i++) writeFileSync(join(path, `${i}.jpg`), '')
    expect((await refusal('watched.add', { path, takeThoseThere: false })).code).toBe('watched/not-all-seen')
    expect(await call('watched.list', {})).toEqual({ folders: [] })
    expect(await call('watched.add', { path, takeThoseThere: true })).toMatchObject({ folder: { path } })
  })
})

describe('how a file ends', () => {
  const picture = () => sharp({ create: { width: 300, height: 200, channels: 3, background: '#a06030' } })
  const write = (bytes: Uint8Array): string => {
    const path = join(freshFolder(), 'a')
    writeFileSync(path, bytes)
    return path
  }
  const cutting = async (bytes: Buffer, behind: Buffer) =>
    Promise.all([bytes, bytes.subarray(0, -1), Buffer.concat([bytes, behind])].map(async (one) => endingOf(write(one))))

  // sharp (libvips) writes them; a preview with an end of its own stands in an APP1 segment, as Exif has it (CIPA DC-008 4.5.8)
  test.each([false, true])('of a JPEG, progressive: %s, also with a preview in it', async (progressive) => {
    const plain = await picture().jpeg({ progressive }).toBuffer()
    const preview = await picture().resize(20).jpeg().toBuffer()
    const length = Buffer.alloc(2)
    length.writeUInt16BE(preview.length + 2)
    const both = Buffer.concat([plain.subarray(0, 2), Buffer.from([0xff, 0xe1]), length, preview, plain.subarray(2)])
    expect((await sharp(both).metadata()).width).toBe(300)
    for (const jpeg of [plain, both]) {
      expect(await cutting(jpeg, Buffer.from('a film behind it'))).toEqual(['whole', 'cut', 'unclear'])
      expect(await endingOf(write(jpeg.subarray(0, 400)))).toBe('cut')
    }
  })

  test('of a PNG, a WebP and an AVIF', async () => {
    const png = await picture().png().toBuffer()
    expect(await cutting(png, Buffer.from('more'))).toEqual(['whole', 'unclear', 'unclear'])
    const webp = await picture().webp().toBuffer()
    expect((await cutting(webp, Buffer.alloc(0))).slice(0, 2)).toEqual(['whole', 'cut'])
    const avif = await picture().avif({ effort: 0 }).toBuffer()
    expect((await cutting(avif, Buffer.alloc(0))).slice(0, 2)).toEqual(['whole', 'cut'])
  })
})
