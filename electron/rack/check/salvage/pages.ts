import { closeSync, existsSync, fstatSync, openSync, readFileSync, readSync } from 'node:fs'
import { committedFrames } from '../../disk/wal.ts'

/**
 * The pages of a database as they lie on the drive, its log laid over them, read without SQLite: it stops at the first
 * page that makes no sense.
 * Source: SQLite, Database File Format, sections 1.3 (header), 1.5 (freelist) and 4 (write-ahead log).
 */
export type Pages = {
  readonly pageSize: number
  /** Of each page, less what is reserved at its end. */
  readonly usable: number
  readonly count: number
  /** Numbers of pages that hold nothing any more, as far as the list of them can be read. */
  readonly free: ReadonlySet<number>
  /** They are as many as the header says. */
  readonly freeIsWhole: boolean
  /** 0 where the header cannot be read. */
  readonly version: number
  /** From 1 on; null beyond the end. A buffer that is used again by the next call. */
  page(number: number): Buffer | null
  close(): void
}

/** What SQLite writes by itself, and all that a rack ever had. */
const usualPageSize = 4096

/** @param path  of a database that may be absent: then there is no page */
export function openPages(path: string): Pages {
  if (!existsSync(path)) return noPages
  const file = openSync(path, 'r')
  const { size } = fstatSync(file)
  const log = existsSync(`${path}-wal`) ? readFileSync(`${path}-wal`) : Buffer.alloc(0)
  const head = Buffer.alloc(100)
  readSync(file, head, 0, 100, 0)
  const isSqlite = head.toString('latin1', 0, 16) === 'SQLite format 3\0'
  const said = head.readUInt16BE(16) === 1 ? 65_536 : head.readUInt16BE(16)
  const pageSize = isSqlite && said >= 512 && (said & (said - 1)) === 0 ? said : usualPageSize
  const frames = committedFrames(log, pageSize)
  const count = Math.max(Math.ceil(size / pageSize), ...frames.keys(), 0)
  const buffer = Buffer.alloc(pageSize)
  const page = (number: number): Buffer | null => {
    if (number < 1 || number > count) return null
    const inLog = frames.get(number)
    if (inLog !== undefined) return log.subarray(inLog, inLog + pageSize)
    buffer.fill(0)
    return readSync(file, buffer, 0, pageSize, (number - 1) * pageSize) > 0 ? buffer : null
  }
  const first = page(1)
  const version = isSqlite && first ? first.readUInt32BE(60) : 0
  // never more than 255, and a rack has none
  const reserved = isSqlite && first ? (first[20] ?? 0) : 0
  const freeCount = isSqlite && first ? first.readUInt32BE(36) : -1
  const free = isSqlite && first ? freePages(page, first.readUInt32BE(32), pageSize) : new Set<number>()
  return {
    pageSize,
    freeIsWhole: free.size === freeCount,
    usable: pageSize - (reserved < 64 ? reserved : 0),
    count,
    free,
    version,
    page,
    close: () => closeSync(file),
  }
}

const noPages: Pages = {
  pageSize: usualPageSize,
  usable: usualPageSize,
  count: 0,
  free: new Set(),
  freeIsWhole: false,
  version: 0,
  page: () => null,
  close: () => undefined,
}

function freePages(page: (number: number) => Buffer | null, first: number, pageSize: number): Set<number> {
  const free = new Set<number>()
  for (let trunk = first; trunk !== 0 && !free.has(trunk); ) {
    const content = page(trunk)
    if (!content) break
    const leaves = content.readUInt32BE(4)
    if (leaves > pageSize / 4 - 2) break
    free.add(trunk)
    for (let i = 0; i < leaves; i++) free.add(content.readUInt32BE(8 + 4 * i))
    trunk = content.readUInt32BE(0)
  }
  return free
}
