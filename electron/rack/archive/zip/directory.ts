import type { FileHandle } from 'node:fs/promises'
import { isFolderName, limits, memberOf, mostBytesOf } from '../form.ts'
import { archiveDamaged, archiveSuspicious } from '../refusals.ts'
import { findDirectory, readAt } from './end-record.ts'

/** A file in the archive, and where its bytes lie. */
export type Entry = {
  name: string
  deflated: boolean
  crc32: number
  packedBytes: number
  byteCount: number
  dataStart: number
}

type Listed = Omit<Entry, 'dataStart'> & { flags: number; method: number; offset: number; isFolder: boolean }

/** Bits that say how hard deflate tried, that the sizes follow the data, and that the name is UTF-8; no other is of ours. */
const knownFlags = 0b1000_0000_1110
const sizesFollow = 0x0008

/**
 * Reads the table of contents and every file's own head, and looks that both say the same, that nothing overlaps, and that
 * there is nothing between. Nothing is unpacked, and no name becomes a path: a member is known by what its name stands for.
 * Source: PKWARE, APPNOTE.TXT 6.3, 4.3.7 (local header), 4.3.9 (data descriptor), 4.3.12 (central directory), 4.4.
 */
export async function readDirectory(
  file: FileHandle,
  fileSize: number,
  signal?: AbortSignal,
): Promise<Map<string, Entry>> {
  const directory = await findDirectory(file, fileSize)
  const bytes = await readAt(file, directory.offset, directory.byteCount)
  const listed = listEntries(bytes, directory.entries, directory.offset)
  const entries = new Map<string, Entry>()
  let expected = 0
  for (const [at, one] of listed.entries()) {
    if (at % 512 === 0) signal?.throwIfAborted()
    if (one.offset !== expected) {
      const overlaps = one.offset < expected
      throw archiveSuspicious(
        overlaps ? `${shown(one.name)} lies over another file` : `something is hidden before ${shown(one.name)}`,
      )
    }
    const dataStart = await readHead(file, one)
    const dataEnd = dataStart + one.packedBytes
    const next = listed[at + 1]?.offset ?? directory.offset
    const behind = next - dataEnd
    const allowed = (one.flags & sizesFollow) === 0 ? [0] : [12, 16, 20, 24]
    if (!allowed.includes(behind)) {
      throw archiveSuspicious(
        behind < 0 ? `${shown(one.name)} lies over another file` : `something is hidden behind ${shown(one.name)}`,
      )
    }
    expected = next
    if (one.isFolder) continue
    const { name, deflated, crc32, packedBytes, byteCount } = one
    entries.set(name, { name, deflated, crc32, packedBytes, byteCount, dataStart })
  }
  return entries
}

function listEntries(bytes: Buffer, count: number, directoryAt: number): Listed[] {
  const listed: Listed[] = []
  const names = new Set<string>()
  let at = 0
  for (let n = 0; n < count; n++) {
    if (at + 46 > bytes.length || bytes.readUInt32LE(at) !== 0x02014b50)
      throw archiveDamaged('its table of contents cannot be read')
    const [nameBytes, extraBytes, commentBytes] = [28, 30, 32].map((field) => bytes.readUInt16LE(at + field)) as [
      number,
      number,
      number,
    ]
    const nameAt = at + 46
    const extraAt = nameAt + nameBytes
    const next = extraAt + extraBytes + commentBytes
    if (next > bytes.length) throw archiveDamaged('its table of contents cannot be read')
    const name = bytes.toString('latin1', nameAt, extraAt)
    const isFolder = nameIsGood(name)
    if (names.has(name)) throw archiveSuspicious(`${shown(name)} is in it twice`)
    names.add(name)
    const sizes = sizesOf(bytes, at, bytes.subarray(extraAt, extraAt + extraBytes), name)
    const flags = bytes.readUInt16LE(at + 8)
    const method = bytes.readUInt16LE(at + 10)
    attributesAreGood(bytes.readUInt16LE(at + 4) >> 8, bytes.readUInt32LE(at + 38), isFolder, name)
    if ((flags & ~knownFlags) !== 0)
      throw archiveSuspicious(
        (flags & 0x2041) !== 0 ? `${shown(name)} is encrypted` : `${shown(name)} is packed in an unknown way`,
      )
    if (method !== 0 && method !== 8) throw archiveSuspicious(`${shown(name)} is packed in an unknown way`)
    const { packedBytes, byteCount, offset } = sizes
    if (byteCount > mostBytesOf(name)) throw archiveSuspicious(`${shown(name)} is larger than any such file`)
    if (offset >= directoryAt || packedBytes > directoryAt - offset)
      throw archiveDamaged(`${shown(name)} lies outside of it`)
    if (method === 0 && packedBytes !== byteCount) throw archiveSuspicious(`${shown(name)} has two sizes`)
    if (method === 8 && byteCount > packedBytes * limits.deflateFactor)
      throw archiveSuspicious(`${shown(name)} says that it is larger than it can be`)
    if (isFolder && byteCount !== 0) throw archiveSuspicious(`${shown(name)} is a folder with contents`)
    listed.push({
      name,
      isFolder,
      flags,
      method,
      deflated: method === 8,
      crc32: bytes.readUInt32LE(at + 16),
      packedBytes,
      byteCount,
      offset,
    })
    at = next
  }
  if (at !== bytes.length) throw archiveSuspicious('something stands behind its table of contents')
  return listed.toSorted((a, b) => a.offset - b.offset)
}

/** @returns whether it is a folder. @throws Refusal saying what is wrong with a name that no archive of a rack has */
function nameIsGood(name: string): boolean {
  if (memberOf(name) !== null) return false
  if (isFolderName(name)) return true
  if (name.includes('\0')) throw archiveSuspicious('it holds a name with a zero in it')
  if (/^[/\\]|^[A-Za-z]:/.test(name))
    throw archiveSuspicious(`it holds a path that begins at the root of a disk: ${shown(name)}`)
  if (name.split(/[/\\]/).includes('..'))
    throw archiveSuspicious(`it holds a path that leads out of its folder: ${shown(name)}`)
  if (name.includes('\\')) throw archiveSuspicious(`it holds a name with a backslash: ${shown(name)}`)
  throw archiveSuspicious(`it holds a file that is no part of a rack: ${shown(name)}`)
}

/** Links are told by the upper half of the attributes where a Unix made the entry, folders by bit 4 where DOS did. */
function attributesAreGood(system: number, attributes: number, isFolder: boolean, name: string): void {
  const type = (attributes >>> 16) & 0o170000
  const isPlain = type === 0 || type === (isFolder ? 0o040000 : 0o100000)
  if (type === 0o120000) throw archiveSuspicious(`${shown(name)} is a link to another file`)
  if (!isPlain) throw archiveSuspicious(`${shown(name)} is neither a file nor a folder`)
  if (system === 0 && !isFolder && (attributes & 0x10) !== 0)
    throw archiveSuspicious(`${shown(name)} is a folder with a file’s name`)
}

/** Extra fields in which Unix programs keep where a link leads. Source: APPNOTE.TXT 6.3, 4.5.7 (0x000d), 4.6.1 (0x756e). */
const linkFields = [0x000d, 0x756e]

function sizesOf(bytes: Buffer, at: number, extra: Buffer, name: string) {
  const all = '0xffffffff'
  const values = {
    byteCount: bytes.readUInt32LE(at + 24),
    packedBytes: bytes.readUInt32LE(at + 20),
    offset: bytes.readUInt32LE(at + 42),
  }
  let disk = bytes.readUInt16LE(at + 34)
  let long: Buffer | null = null
  for (let from = 0; from < extra.length; ) {
    if (from + 4 > extra.length) throw archiveDamaged('its table of contents cannot be read')
    const [id, size] = [extra.readUInt16LE(from), extra.readUInt16LE(from + 2)]
    if (from + 4 + size > extra.length) throw archiveDamaged('its table of contents cannot be read')
    if (linkFields.includes(id)) throw archiveSuspicious(`${shown(name)} is a link to another file`)
    if (id === 0x0001) {
      if (long) throw archiveSuspicious(`${shown(name)} has its size twice`)
      long = extra.subarray(from + 4, from + 4 + size)
    }
    from += 4 + size
  }
  let used = 0
  for (const field of ['byteCount', 'packedBytes', 'offset'] as const) {
    if (values[field] !== Number(all)) continue
    if (!long || used + 8 > long.length) throw archiveDamaged(`the size of ${shown(name)} cannot be read`)
    const value = long.readBigUInt64LE(used)
    if (value > BigInt(Number.MAX_SAFE_INTEGER)) throw archiveSuspicious(`${shown(name)} is larger than any file`)
    values[field] = Number(value)
    used += 8
  }
  if (disk === 0xffff) {
    if (!long || used + 4 > long.length) throw archiveDamaged(`the place of ${shown(name)} cannot be read`)
    disk = long.readUInt32LE(used)
  }
  if (disk !== 0) throw archiveSuspicious('it says that it is spread over several disks')
  return values
}

/** A file's own head has to say what the table of contents says. @returns where its bytes begin */
async function readHead(file: FileHandle, one: Listed): Promise<number> {
  const head = await readAt(file, one.offset, 30 + one.name.length)
  if (head.readUInt32LE(0) !== 0x04034b50) throw archiveDamaged(`${shown(one.name)} does not begin where it should`)
  const differs =
    head.readUInt16LE(6) !== one.flags ||
    head.readUInt16LE(8) !== one.method ||
    head.readUInt16LE(26) !== one.name.length ||
    head.toString('latin1', 30) !== one.name
  if (differs) throw archiveSuspicious(`${shown(one.name)} is called otherwise in the table of contents`)
  if ((one.flags & sizesFollow) === 0) {
    const [crc32, packedBytes, byteCount] = [14, 18, 22].map((field) => head.readUInt32LE(field))
    const same = (short: number | undefined, long: number) => short === long || short === 0xffffffff
    if (crc32 !== one.crc32 || !same(packedBytes, one.packedBytes) || !same(byteCount, one.byteCount))
      throw archiveSuspicious(`${shown(one.name)} has two sizes`)
  }
  return one.offset + 30 + one.name.length + head.readUInt16LE(28)
}

/** A stranger's name, short and without what could not be shown. */
const shown = (name: string): string => {
  const plain = name.replaceAll(/[^\x20-\x7e]/g, '?')
  return `“${plain.length > 80 ? `${plain.slice(0, 77)}…` : plain}”`
}
