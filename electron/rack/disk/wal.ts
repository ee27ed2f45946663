import { readFile } from 'node:fs/promises'

/**
 * The `user_version` that a database's write-ahead log leads to, or null when the log does not touch it. Read without
 * SQLite, which would make a file beside the database.
 * Source: SQLite, Database File Format, section 4: a header of 32 bytes, then frames of 24 bytes and one page each; a frame
 * counts when its salts are the header's and its running checksum is right; what follows the last commit does not.
 */
export async function versionInWal(path: string): Promise<number | null> {
  const log = await readFile(path)
  if (log.length < 32) return null
  const magic = log.readUInt32BE(0)
  if ((magic | 1) !== 0x377f0683) return null
  const littleEndian = (magic & 1) === 0
  const pageSize = log.readUInt32BE(8)
  let sum = summed([0, 0], log, 0, 24, littleEndian)
  if (!sameSum(sum, log, 24)) return null

  let committed: number | null = null
  let latest: number | null = null
  for (let at = 32; at + 24 + pageSize <= log.length; at += 24 + pageSize) {
    if (log.compare(log, 16, 24, at + 8, at + 16) !== 0) break
    sum = summed(sum, log, at, at + 8, littleEndian)
    sum = summed(sum, log, at + 24, at + 24 + pageSize, littleEndian)
    if (!sameSum(sum, log, at + 16)) break
    if (log.readUInt32BE(at) === 1) latest = log.readUInt32BE(at + 24 + 60)
    if (log.readUInt32BE(at + 4) !== 0) committed = latest
  }
  return committed
}

/**
 * Where the newest committed content of each page lies in a log, as SQLite would read it: frames up to the first that
 * is not whole, and of those what was committed.
 */
export function committedFrames(log: Buffer, pageSize: number): Map<number, number> {
  const committed = new Map<number, number>()
  if (log.length < 32 || (log.readUInt32BE(0) | 1) !== 0x377f0683 || log.readUInt32BE(8) !== pageSize) return committed
  const littleEndian = (log.readUInt32BE(0) & 1) === 0
  let sum = summed([0, 0], log, 0, 24, littleEndian)
  if (!sameSum(sum, log, 24)) return committed
  let waiting: Array<[page: number, at: number]> = []
  for (let at = 32; at + 24 + pageSize <= log.length; at += 24 + pageSize) {
    if (log.compare(log, 16, 24, at + 8, at + 16) !== 0) break
    sum = summed(sum, log, at, at + 8, littleEndian)
    sum = summed(sum, log, at + 24, at + 24 + pageSize, littleEndian)
    if (!sameSum(sum, log, at + 16)) break
    waiting.push([log.readUInt32BE(at), at + 24])
    if (log.readUInt32BE(at + 4) === 0) continue
    for (const [page, place] of waiting) committed.set(page, place)
    waiting = []
  }
  return committed
}

type Sum = readonly [number, number]

/** Section 4.2, Checksum Algorithm: 32-bit words in pairs. */
function summed([a, b]: Sum, bytes: Buffer, from: number, to: number, littleEndian: boolean): Sum {
  let [s0, s1] = [a, b]
  for (let at = from; at < to; at += 8) {
    s0 = (s0 + (littleEndian ? bytes.readUInt32LE(at) : bytes.readUInt32BE(at)) + s1) >>> 0
    s1 = (s1 + (littleEndian ? bytes.readUInt32LE(at + 4) : bytes.readUInt32BE(at + 4)) + s0) >>> 0
  }
  return [s0, s1]
}

const sameSum = ([s0, s1]: Sum, bytes: Buffer, at: number): boolean =>
  bytes.readUInt32BE(at) === s0 && bytes.readUInt32BE(at + 4) === s1
