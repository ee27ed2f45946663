import { crc32, deflateRawSync } from 'node:zlib'

/**
 * Puts a ZIP together byte by byte, right or wrong on purpose.
 * Source: PKWARE, APPNOTE.TXT 6.3, 4.3.7 (local file header), 4.3.12 (central directory), 4.3.16 (end of it).
 */
export type Made = {
  name: string | Buffer
  bytes: Buffer
  deflate?: boolean
  /** What heads say in place of what is true. */
  says?: Partial<{
    byteCount: number
    packedBytes: number
    crc32: number
    flags: number
    method: number
    attributes: number
    madeBy: number
    disk: number
    localName: string
    offset: number
    extra: Buffer
  }>
}

export type End = Partial<{
  disk: number
  entries: number
  entriesHere: number
  byteCount: number
  offset: number
  comment: Buffer
  behind: Buffer
  before: Buffer
}>

export function zipOf(files: readonly Made[], end: End = {}): Buffer {
  const pieces: Buffer[] = [end.before ?? Buffer.alloc(0)]
  let at = pieces[0]?.length ?? 0
  const heads: Buffer[] = []
  for (const { name, bytes, deflate = false, says = {} } of files) {
    const packed = deflate ? deflateRawSync(bytes) : bytes
    const raw = typeof name === 'string' ? Buffer.from(name, 'utf8') : name
    const localRaw = says.localName === undefined ? raw : Buffer.from(says.localName, 'utf8')
    const method = says.method ?? (deflate ? 8 : 0)
    const crc = says.crc32 ?? crc32(bytes)
    const packedBytes = says.packedBytes ?? packed.length
    const byteCount = says.byteCount ?? bytes.length
    const local = Buffer.alloc(30)
    local.writeUInt32LE(0x04034b50, 0)
    local.writeUInt16LE(20, 4)
    local.writeUInt16LE(says.flags ?? 0, 6)
    local.writeUInt16LE(method, 8)
    local.writeUInt32LE(crc, 14)
    local.writeUInt32LE(packedBytes, 18)
    local.writeUInt32LE(byteCount, 22)
    local.writeUInt16LE(localRaw.length, 26)
    const head = Buffer.alloc(46)
    head.writeUInt32LE(0x02014b50, 0)
    head.writeUInt16LE(says.madeBy ?? 0x0314, 4)
    head.writeUInt16LE(20, 6)
    head.writeUInt16LE(says.flags ?? 0, 8)
    head.writeUInt16LE(method, 10)
    head.writeUInt32LE(crc, 16)
    head.writeUInt32LE(packedBytes, 20)
    head.writeUInt32LE(byteCount, 24)
    head.writeUInt16LE(raw.length, 28)
    head.writeUInt16LE(says.extra?.length ?? 0, 30)
    head.writeUInt16LE(says.disk ?? 0, 34)
    head.writeUInt32LE(says.attributes ?? (0o100644 << 16) >>> 0, 38)
    head.writeUInt32LE(says.offset ?? at, 42)
    heads.push(head, raw, says.extra ?? Buffer.alloc(0))
    pieces.push(local, localRaw, packed)
    at += 30 + localRaw.length + packed.length
  }
  const directory = Buffer.concat(heads)
  const last = Buffer.alloc(22)
  last.writeUInt32LE(0x06054b50, 0)
  last.writeUInt16LE(end.disk ?? 0, 4)
  last.writeUInt16LE(end.disk ?? 0, 6)
  last.writeUInt16LE(end.entriesHere ?? end.entries ?? files.length, 8)
  last.writeUInt16LE(end.entries ?? files.length, 10)
  last.writeUInt32LE(end.byteCount ?? directory.length, 12)
  last.writeUInt32LE(end.offset ?? at, 16)
  last.writeUInt16LE(end.comment?.length ?? 0, 20)
  return Buffer.concat([...pieces, directory, last, end.comment ?? Buffer.alloc(0), end.behind ?? Buffer.alloc(0)])
}
