import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Manifest } from '../../../electron/rack/archive/form.ts'
import { openArchive, verifyAll } from '../../../electron/rack/archive/open-archive.ts'
import { proveRecords, proveRows } from '../../../electron/rack/archive/proof/prove-records.ts'
import { unpackArchive } from '../../../electron/rack/archive/unpack-archive.ts'
import { freshFolder, workFolder } from '../fresh.ts'
import { rightFiles, sha256 } from './right-files.ts'
import { meddled, smallRack } from './small-rack.ts'
import { type End, type Made, zipOf } from './zip-maker.ts'

const folder = workFolder()
let records: Buffer
let photo: Buffer
let ours: string

beforeAll(async () => {
  const small = await smallRack(join(folder, 'small'))
  ours = small.archive
  photo = small.photo
  // without its log, as in an archive
  records = meddled(folder, small.records, () => undefined)
}, 30_000)

const never = new AbortController().signal

/** Hands it over as a painter would: unpacks it into a new folder. @returns the refusal's code and words */
async function refused(zip: Buffer): Promise<string> {
  const place = freshFolder()
  const path = join(place, 'stranger.overground.zip')
  writeFileSync(path, zip)
  const target = join(place, 'racks', 'new')
  const prove = async (database: string) => {
    await proveRecords(database)
    await proveRows(database)
  }
  const unpacking = unpackArchive({ path, folder: target, prove, onProgress: () => undefined, signal: never })
  const error = await unpacking.then(
    () => new Error('It was unpacked'),
    (why: Error & { code?: string }) => why,
  )
  // nothing was written but the folder above, which the painter named
  expect(readdirSync(place).filter((name) => name !== 'racks')).toEqual(['stranger.overground.zip'])
  expect(readdirSync(place).includes('racks') ? readdirSync(join(place, 'racks')) : []).toEqual([])
  return `${(error as { code?: string }).code} ${error.message}`
}

const files = (manifest?: (manifest: Manifest) => unknown): Made[] =>
  rightFiles({ records, photo, ...(manifest ? { manifest } : {}) })
const zipped = (change: (made: Made[]) => Made[], end: End = {}) => zipOf(change(files()), end)
const withFile = (made: Made, end: End = {}) => zipped((all) => [...all, made], end)
const first = (says: NonNullable<Made['says']>) => zipped(([one, ...rest]) => [{ ...(one as Made), says }, ...rest])
const text = Buffer.from('x')

/** An end record of an archive that would begin elsewhere: some programs take the first that they find, others the last. */
function endOfNothing(comment = 0): Buffer {
  const end = Buffer.alloc(22)
  end.writeUInt32LE(0x06054b50, 0)
  end.writeUInt16LE(1, 8)
  end.writeUInt16LE(1, 10)
  end.writeUInt32LE(60, 12)
  end.writeUInt16LE(comment, 20)
  return end
}

test('one that is right is unpacked, so that what follows is refused for what is wrong with it alone', async () => {
  const place = freshFolder()
  const path = join(place, 'right.zip')
  writeFileSync(path, zipOf(files()))
  const prove = async (database: string) => {
    await proveRecords(database)
    await proveRows(database)
  }
  await unpackArchive({ path, folder: join(place, 'new'), prove, onProgress: () => undefined, signal: never })
  expect(readdirSync(join(place, 'new')).toSorted()).toEqual(['photos', 'rack.sqlite'])
  expect(readFileSync(join(place, 'new', 'photos', sha256(photo).slice(0, 2), `${sha256(photo)}.jpg`))).toEqual(photo)
})

describe('names', () => {
  test.each([
    ['/etc/passwd', 'begins at the root'],
    ['C:\\Windows\\x.dll', 'begins at the root'],
    ['\\\\host\\share\\x', 'begins at the root'],
    ['../../outside.txt', 'leads out of its folder'],
    ['photos/../../outside.jpg', 'leads out of its folder'],
    ['photos\\..\\..\\x.jpg', 'leads out of its folder'],
    ['photos\\aa\\x.jpg', 'backslash'],
    ['photos/aa/x\0.jpg', 'zero'],
    ['rack.sqlite\0.jpg', 'zero'],
    ['lock', 'no part of a rack'],
    ['rack.sqlite-wal', 'no part of a rack'],
    ['RACK.SQLITE', 'no part of a rack'],
    ['Photos/aa/x.jpg', 'no part of a rack'],
    ['photos/aa/inner.zip', 'no part of a rack'],
    ['renditions/looked-through.json', 'no part of a rack'],
    ['./rack.sqlite', 'no part of a rack'],
    ['photos/ää/x.jpg', 'no part of a rack'],
    [`photos/ab/${'0'.repeat(64)}.jpg`, 'no part of a rack'],
    [`photos/00/${'0'.repeat(64)}.svg`, 'no part of a rack'],
    [`photos/00/${'0'.repeat(64)}.jpg/`, 'no part of a rack'],
    ['', 'no part of a rack'],
  ])('%j', async (name, why) => {
    const said = await refused(withFile({ name, bytes: text }))
    expect(said).toContain('archive/')
    expect(said).toMatch(new RegExp(`suspicious.*${why}|damaged.*table of contents`))
  })

  test('a name that is not ASCII, or said to be UTF-8 and is not', async () => {
    expect(
      await refused(withFile({ name: Buffer.from([0xc3, 0x28, 0x2e]), bytes: text, says: { flags: 0x800 } })),
    ).toContain('no part of a rack')
  })

  test('two entries of one name', async () => {
    expect(await refused(zipped((all) => [...all, all[0] as Made]))).toContain('in it twice')
  })

  test('another name in the file’s own head', async () => {
    expect(await refused(first({ localName: 'rack.sqlitf' }))).toContain('called otherwise')
  })
})

describe('what is no file', () => {
  const link = (0o120777 << 16) >>> 0
  test.each([
    ['a symbolic link', { attributes: link }, 'is a link'],
    ['a symbolic link, said to come from DOS', { attributes: link, madeBy: 20 }, 'is a link'],
    ['a device', { attributes: (0o060644 << 16) >>> 0 }, 'neither a file nor a folder'],
    ['a pipe', { attributes: (0o010644 << 16) >>> 0 }, 'neither a file nor a folder'],
    ['a folder with a file’s name', { attributes: 0x10, madeBy: 20 }, 'folder with a file’s name'],
    ['a hard link in an extra field', { extra: Buffer.from([0x0d, 0x00, 0x04, 0x00, 1, 2, 3, 4]) }, 'is a link'],
    ['a link in another extra field', { extra: Buffer.from([0x6e, 0x75, 0x02, 0x00, 1, 2]) }, 'is a link'],
  ])('%s', async (_, says, why) => {
    expect(await refused(first(says))).toContain(why)
  })
})

describe('sizes and places', () => {
  test.each([
    ['two sizes of a stored file', [1, { byteCount: 7 }], 'two sizes'],
    ['larger than deflate can make it', [0, { byteCount: 4_000_000_000 }], 'larger than it can be'],
    ['more comes out than is said', [0, { byteCount: 100 }], 'another size than its list of files|larger than it says'],
    ['a wrong CRC', [1, { crc32: 1 }], 'not as it was packed'],
    ['encrypted', [0, { flags: 1 }], 'is encrypted'],
    ['strongly encrypted', [0, { flags: 0x41 }], 'is encrypted'],
    ['packed in a way that nobody uses', [0, { method: 99 }], 'unknown way'],
    ['on another disk', [0, { disk: 1 }], 'several disks'],
    ['over another file', [1, { offset: 0 }], 'does not begin|lies over|called otherwise|hidden'],
    ['outside of the archive', [1, { offset: 0xfffffff0 }], 'outside of it'],
    ['a long size that is not there', [0, { byteCount: 0xffffffff }], 'size of .* cannot be read'],
    ['an extra field cut short', [0, { extra: Buffer.from([1, 0, 9]) }], 'cannot be read'],
  ] as const)('%s', async (_, [which, says], why) => {
    const zip = zipped((all) => all.map((made, at) => (at === which ? { ...made, says } : made)))
    expect(await refused(zip)).toMatch(new RegExp(why))
  })

  test('a bomb: more than is said comes out of a file whose manifest lies as well', async () => {
    const bomb = Buffer.alloc(50_000_000)
    const said = await refused(
      zipOf(
        files((manifest) => ({
          ...manifest,
          members: manifest.members.map((member) =>
            member.name === 'rack.sqlite' ? { ...member, byteCount: 1000 } : member,
          ),
        })).map((made) => (made.name === 'rack.sqlite' ? { ...made, bytes: bomb, says: { byteCount: 1000 } } : made)),
      ),
    )
    expect(said).toContain('larger than it says')
  })

  test('a bomb that tells the truth has to have room on the disk', async () => {
    const huge = 3_900_000_000
    const many = Array.from({ length: 250 }, (_, at) => sha256(Buffer.from(String(at))))
    const packed = Math.ceil(1_900_000_000 / 1000)
    const small = Buffer.alloc(packed)
    // the same packed bytes stand for all: each entry would lie over the others, and that alone is refused
    const zip = zipOf([
      ...files(),
      ...many.map((hash) => ({
        name: `photos/${hash.slice(0, 2)}/${hash}.jpg`,
        bytes: Buffer.alloc(0),
        says: { method: 8, packedBytes: small.length, byteCount: 1_900_000_000 },
      })),
    ])
    expect(huge).toBeGreaterThan(zip.length)
    expect(await refused(zip)).toMatch(/outside of it|lies over|hidden/)
  })
})

describe('the end of the archive', () => {
  test.each([
    ['a comment', { comment: Buffer.from('PK\x05\x06') }, 'something was put behind it'],
    ['a comment that is an end by itself', { comment: endOfNothing() }, 'not where it has to be'],
    ['a comment that says it is one', { comment: endOfNothing(1) }, 'comment at its end'],
    ['something behind it', { behind: Buffer.from('more') }, 'something was put behind it'],
    ['something before it', { before: Buffer.from('#!/bin/sh\n') }, 'before its first file|no ZIP'],
    ['several disks', { disk: 1 }, 'several disks'],
    ['more entries in all than here', { entriesHere: 1 }, 'several disks'],
    ['an absurd count', { entries: 65_000, entriesHere: 65_000 }, 'not where it has to be'],
    ['too few', { entries: 2, entriesHere: 2 }, 'behind its table of contents|hidden'],
    ['none', { entries: 0, entriesHere: 0, byteCount: 0 }, 'not where it has to be|empty'],
    ['elsewhere', { offset: 5 }, 'not where it has to be'],
  ] as const)('%s', async (_, end, why) => {
    expect(await refused(zipped((all) => all, end as End))).toMatch(new RegExp(why))
  })

  test('a long end (ZIP64) that names places beyond any file', async () => {
    const zip = zipOf(files())
    const locator = Buffer.alloc(20)
    locator.writeUInt32LE(0x07064b50, 0)
    locator.writeBigUInt64LE(2n ** 63n, 8)
    locator.writeUInt32LE(1, 16)
    expect(await refused(Buffer.concat([zip.subarray(0, -22), locator, zip.subarray(-22)]))).toContain(
      'outside of the file',
    )
  })

  test('cut off anywhere', async () => {
    const zip = readFileSync(ours)
    for (const share of [0, 0.001, 0.3, 0.7, 0.99, 0.9999])
      expect(await refused(zip.subarray(0, Math.floor(zip.length * share)))).toMatch(/^archive\/(damaged|not-one)/)
    expect(await refused(zip.subarray(0, zip.length - 1))).toMatch(/^archive\/damaged/)
  })

  test('what is no ZIP at all', async () => {
    expect(await refused(Buffer.from('<html>'.repeat(10)))).toContain('no ZIP file')
    expect(await refused(Buffer.alloc(0))).toContain('too short')
    expect(await refused(records)).toContain('no ZIP file')
  })
})

describe('the manifest', () => {
  const withManifest = (change: (manifest: Manifest) => unknown) => refused(zipOf(files(change)))
  test.each<[string, (manifest: Manifest) => unknown, string]>([
    ['of a newer form', (m) => ({ ...m, form: 2, members: 'other' }), 'archive/newer'],
    ['of newer records', (m) => ({ ...m, schema: 9999 }), 'archive/newer'],
    ['of another program', () => ({ hello: 1 }), 'another program’s'],
    ['that is a list', () => [], 'another program’s'],
    ['without its lists', (m) => ({ ...m, members: undefined }), 'makes no sense'],
    [
      'names a file that is not there',
      (m) => ({ ...m, members: [...m.members, { name: 'README.txt', byteCount: 1, sha256: '0'.repeat(64) }] }),
      'not in it',
    ],
    [
      'keeps quiet about a file',
      (m) => ({ ...m, members: m.members.filter(({ name }) => name === 'rack.sqlite') }),
      'does not name',
    ],
    [
      'names no records',
      (m) => ({ ...m, members: m.members.filter(({ name }) => name !== 'rack.sqlite') }),
      'no records',
    ],
    ['names a file twice', (m) => ({ ...m, members: [...m.members, ...m.members] }), 'twice'],
    [
      'another size',
      (m) => ({ ...m, members: m.members.map((one) => ({ ...one, byteCount: one.byteCount + 1 })) }),
      'another size',
    ],
    [
      'another checksum',
      (m) => ({ ...m, members: m.members.map((one) => ({ ...one, sha256: '0'.repeat(64) })) }),
      'not what it was',
    ],
    [
      'a path as a member',
      (m) => ({ ...m, members: [...m.members, { name: '../x', byteCount: 1, sha256: '0'.repeat(64) }] }),
      'not in it',
    ],
  ])('%s', async (_, change, why) => {
    expect(await withManifest(change)).toContain(why)
  })

  test('that is no JSON, or nested without end', async () => {
    const bad = (bytes: Buffer) =>
      zipped((all) => all.map((made) => (made.name === 'manifest.json' ? { ...made, bytes } : made)))
    expect(await refused(bad(Buffer.from('{')))).toContain('cannot be read')
    expect(await refused(bad(Buffer.from('['.repeat(2_000_000))))).toMatch(/cannot be read|another program/)
  })
})

describe('the records', () => {
  const withRecords = (work: (raw: import('better-sqlite3').Database) => void) =>
    refused(zipOf(rightFiles({ records: meddled(folder, records, work), photo })))
  test.each<[string, string, string]>([
    ['a trigger', 'create trigger x after insert on panel begin delete from panel; end', 'a trigger in them'],
    ['a view in a table’s place', 'create view x as select 1', 'a view in them'],
    ['a table of its own', 'create table x (y)', 'a table in them'],
    ['an index on an expression', 'create index x on panel (hex(zeroblob(100000)))', 'an? index in them'],
    ['a missing table', 'drop table saved_search', 'missing'],
    [
      'a loose row',
      "pragma foreign_keys = off; insert into step values ('0190a000', 'nobody', 0, 1, '')",
      'belongs to a panel that is not there',
    ],
    ['no row about the rack', 'delete from rack_info', 'of the rack itself'],
    [
      'an id that is a path',
      "update panel set title = 'x'; pragma foreign_keys = off; update tag set id = '../../x'",
      'a tag in them makes no sense',
    ],
    [
      'a cut-out’s key that is a path',
      `insert into area select '0190a001', id, 0, null, 'quad', '[[0,0],[1,0],[1,1],[0,1]]', null, '../../etc' from photo`,
      'an? area in them makes no sense',
    ],
    ['a list that is none', "update photo set cautions = '{}'", 'a photo in them makes no sense'],
    [
      'a list nested without end',
      `update photo set cautions = '${'['.repeat(900)}${']'.repeat(900)}'`,
      'a photo in them makes no sense',
    ],
    ['a number without end', 'update photo set iso = 9e999', 'a photo in them makes no sense'],
    [
      'a change of a table that nobody knows',
      "update change_row set table_name = 'sqlite_schema'",
      'a change in them makes no sense',
    ],
    [
      'a change with a column that nobody knows',
      `update change_row set after = '{"id":"x","evil":1}' where after is not null`,
      'makes no sense',
    ],
    [
      'formulas that lie in each other',
      'update mixture set root_id = (select id from mixture order by id desc limit 1)',
      'layer’s formula lies in another|belongs to two|not whole',
    ],
    ['a photo that is its own blank sheet', 'update photo set flat_photo_id = id', 'own blank sheet'],
    [
      'files of this computer that it would take in',
      "insert into intake (id, created_at) values ('x', '2026-11-26T08:00:00.000Z')",
      'on their way into the tray',
    ],
    [
      'a folder of this computer that it would watch',
      "insert into watched_folder values ('x', '/home', 'any', '2026-11-26T08:00:00.000Z', 1, null)",
      'a folder is watched',
    ],
    ['another program’s', 'pragma application_id = 7', 'another program'],
    ['of a form that there never was', 'pragma user_version = 0', 'of no form'],
    ['of a newer form', 'pragma user_version = 5000', 'archive/newer'],
  ])('%s', async (_, statement, why) => {
    expect(await withRecords((raw) => void raw.exec(statement))).toMatch(new RegExp(why))
  })

  test('a column that is worked out when it is read', async () => {
    const said = await withRecords((raw) => {
      raw.unsafeMode(true)
      raw.pragma('writable_schema = ON')
      raw.exec(
        `update sqlite_schema set sql = replace(sql, 'notes text not null', 'notes text generated always as (hex(zeroblob(900000000)))') where name = 'step'`,
      )
    })
    expect(said).toContain('no rack has')
  })

  test('bytes turned over, anywhere: refused in words, or they were nobody’s', async () => {
    let refusals = 0
    for (let at = 16; at < records.length; at += 5003) {
      const bytes = Buffer.from(records)
      bytes.fill(0xa5, at, at + 40)
      const path = join(folder, 'turned.sqlite')
      writeFileSync(path, bytes)
      const error = await proveRecords(path).then(
        () => proveRows(path).catch((why: unknown) => why),
        (why: unknown) => why,
      )
      if (error === undefined) continue
      refusals++
      expect(error).toMatchObject({
        name: 'Refusal',
        code: expect.stringMatching(/^archive\/(damaged|suspicious|newer)$/) as string,
      })
    }
    expect(refusals).toBeGreaterThan(5)
  }, 30_000)

  test('half of it', async () => {
    expect(await refused(zipOf(rightFiles({ records: records.subarray(0, 8192), photo })))).toMatch(/^archive\/damaged/)
  })
})

test('nothing is unpacked to be looked at, and every member is read piece by piece', async () => {
  const archive = await openArchive(ours)
  try {
    let largest = 0
    for (const member of archive.manifest.members)
      await archive.read(member, ({ length }) => void (largest = Math.max(largest, length)))
    expect(largest).toBeLessThanOrEqual(256 * 1024)
    await verifyAll(archive)
  } finally {
    await archive.close()
  }
})

test('a folder of that name that is not empty is left as it is', async () => {
  const place = freshFolder()
  mkdirSync(join(place, 'mine'))
  writeFileSync(join(place, 'mine', 'letter.txt'), 'dear')
  const prove = () => Promise.resolve()
  const unpacking = unpackArchive({
    path: ours,
    folder: join(place, 'mine'),
    prove,
    onProgress: () => undefined,
    signal: never,
  })
  await expect(unpacking).rejects.toMatchObject({ code: 'rack/folder-not-empty' })
  expect(readdirSync(place)).toEqual(['mine'])
  expect(readFileSync(join(place, 'mine', 'letter.txt'), 'utf8')).toBe('dear')
})
