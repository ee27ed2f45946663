import { createHash } from 'node:crypto'
import { createWriteStream, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import { crc32, inflateRawSync } from 'node:zlib'
import { beforeAll, expect, test } from 'vitest'
import { openPromise } from 'yauzl'
import { ZipFile } from 'yazl'
import type { Manifest } from '../../electron/rack/archive/form.ts'
import { openArchive, verifyAll } from '../../electron/rack/archive/open-archive.ts'
import { rightFiles } from '../rack/archive/right-files.ts'
import { smallRack } from '../rack/archive/small-rack.ts'
import { workFolder } from '../rack/fresh.ts'

/**
 * An archive held against the published layout of ZIP files: PKWARE, .ZIP File Format Specification (APPNOTE.TXT),
 * version 6.3: 4.3.6 overall, 4.3.7 local file header, 4.3.9 data descriptor, 4.3.12 central directory, 4.3.16 end record.
 * Read here byte by byte, and once more by a ZIP reader that is not ours.
 */
const folder = workFolder()
let path: string
let bytes: Buffer

beforeAll(async () => {
  const photo = Buffer.alloc(70_000, 'paint')
  photo.set([0xff, 0xd8, 0xff])
  path = (await smallRack(folder, photo)).archive
  bytes = readFileSync(path)
}, 30_000)

/** Bit 3: CRC and sizes stand behind the data, with the signature that 4.3.9.3 recommends. @returns how many bytes they take */
function descriptorAfter(zip: Buffer, offset: number, at: number, said: readonly number[]): number {
  if ((zip.readUInt16LE(offset + 6) & 8) === 0) return 0
  const found = [0, 4, 8, 12].map((field) => zip.readUInt32LE(at + field))
  if (JSON.stringify(found) !== JSON.stringify([0x08074b50, ...said]))
    throw new Error(`A data descriptor says ${found.join()}`)
  return 16
}

type Found = { name: string; method: number; crc: number; content: Buffer }

/** From the front to the back: every byte belongs to something. */
function walked(zip: Buffer): {
  files: Found[]
  central: { name: string; offset: number; made: number; mode: number }[]
} {
  const end = zip.length - 22
  expect(zip.readUInt32LE(end)).toBe(0x06054b50)
  const [count, directoryBytes, directoryAt] = [
    zip.readUInt16LE(end + 10),
    zip.readUInt32LE(end + 12),
    zip.readUInt32LE(end + 16),
  ]
  expect(directoryAt + directoryBytes).toBe(end)
  expect(zip.readUInt16LE(end + 20)).toBe(0)
  const central: { name: string; offset: number; made: number; mode: number }[] = []
  const files: Found[] = []
  let at = directoryAt
  let front = 0
  for (let n = 0; n < count; n++) {
    expect(zip.readUInt32LE(at)).toBe(0x02014b50)
    const [nameBytes, extraBytes, commentBytes] = [28, 30, 32].map((field) => zip.readUInt16LE(at + field)) as [
      number,
      number,
      number,
    ]
    const name = zip.toString('ascii', at + 46, at + 46 + nameBytes)
    const [packed, unpacked, offset] = [20, 24, 42].map((field) => zip.readUInt32LE(at + field)) as [
      number,
      number,
      number,
    ]
    const method = zip.readUInt16LE(at + 10)
    const crc = zip.readUInt32LE(at + 16)
    central.push({ name, offset, made: zip.readUInt16LE(at + 4) >> 8, mode: zip.readUInt32LE(at + 38) >>> 16 })
    expect(offset).toBe(front)
    expect(zip.readUInt32LE(offset)).toBe(0x04034b50)
    const localName = zip.readUInt16LE(offset + 26)
    expect(zip.toString('ascii', offset + 30, offset + 30 + localName)).toBe(name)
    const dataAt = offset + 30 + localName + zip.readUInt16LE(offset + 28)
    const data = zip.subarray(dataAt, dataAt + packed)
    const content = method === 8 ? inflateRawSync(data) : data
    expect(content.length).toBe(unpacked)
    expect(crc32(content)).toBe(crc)
    files.push({ name, method, crc, content })
    front = dataAt + packed
    // bit 3: CRC and sizes stand behind the data, with the signature that 4.3.9.3 recommends
    front += descriptorAfter(zip, offset, front, [crc, packed, unpacked])
    at += 46 + nameBytes + extraBytes + commentBytes
  }
  expect(at).toBe(end)
  expect(front).toBe(directoryAt)
  return { files, central }
}

test('every byte of an archive is where APPNOTE.TXT says, originals are stored as they are, the rest is deflated', () => {
  const { files, central } = walked(bytes)
  const named = new Map(files.map((file) => [file.name, file]))
  expect([...named.keys()].filter((name) => !name.startsWith('photos/'))).toEqual([
    'README.txt',
    'rack.sqlite',
    'manifest.json',
  ])
  for (const { name, method } of files) expect(method).toBe(name.startsWith('photos/') ? 0 : 8)
  // 4.4.2.2: 3 is Unix; there the upper half of the attributes is the mode: an ordinary file
  for (const { made, mode } of central) expect([made, mode & 0o170000]).toEqual([3, 0o100000])
  const manifest = JSON.parse(named.get('manifest.json')?.content.toString('utf8') ?? '') as Manifest
  expect(manifest.members.map(({ name }) => name).toSorted()).toEqual(
    [...named.keys()].filter((name) => name !== 'manifest.json').toSorted(),
  )
  for (const { name, byteCount, sha256 } of manifest.members) {
    const content = named.get(name)?.content ?? Buffer.alloc(0)
    expect([content.length, createHash('sha256').update(content).digest('hex')]).toEqual([byteCount, sha256])
  }
  expect(named.get('README.txt')?.content.toString('utf8')).toMatch(/TO OPEN IT WITHOUT OVERGROUND/)
  // SQLite, Database File Format, 1.3: the header's first 16 bytes
  expect(named.get('rack.sqlite')?.content.toString('latin1', 0, 16)).toBe('SQLite format 3\0')
})

test('another ZIP reader (yauzl) finds the same files', async () => {
  const zip = await openPromise(path, { strictFileNames: true })
  const read = new Map<string, string>()
  for await (const entry of zip.eachEntry()) {
    const hash = createHash('sha256')
    for await (const piece of await zip.openReadStreamPromise(entry, {})) hash.update(piece as Buffer)
    read.set(entry.fileName, hash.digest('hex'))
  }
  const expected = walked(bytes).files.map(({ name, content }): [string, string] => [
    name,
    createHash('sha256').update(content).digest('hex'),
  ])
  expect(read).toEqual(new Map(expected))
})

test('the long form (ZIP64: 4.3.14, 4.3.15, 4.5.3) is read as well, as another writer (yazl) makes it', async () => {
  const zip = new ZipFile()
  const files = rightFiles({ records: Buffer.alloc(100_000, 'records'), photo: Buffer.from([0xff, 0xd8, 0xff, 1]) })
  for (const { name, bytes: content, deflate = false } of files)
    zip.addBuffer(content, String(name), { compress: deflate, forceZip64Format: true })
  zip.end({ forceZip64Format: true, comment: '' })
  const long = join(folder, 'long.overground.zip')
  await pipeline(zip.outputStream, createWriteStream(long))
  expect(readFileSync(long).includes(Buffer.from([0x50, 0x4b, 6, 6]))).toBe(true)
  const archive = await openArchive(long)
  try {
    await verifyAll(archive)
    expect(archive.manifest.members).toHaveLength(2)
  } finally {
    await archive.close()
  }
})
