import type { Pages } from './pages.ts'

/** Values of a row, in the order in which they are kept. Whole numbers beyond 2^53 do not come up in a rack. */
export type Values = Array<string | number | null>

/** A page, cell or record that makes no sense. */
export class Senseless extends Error {}

export const kinds = { indexInterior: 2, tableInterior: 5, indexLeaf: 10, tableLeaf: 13 } as const
export const isTreePage = (kind: number): boolean => Object.values<number>(kinds).includes(kind)

export type Cell = { rowid: number | null; values: Values }
export type TreePage = { kind: number; children: number[]; cells: Cell[]; senseless: number }

/**
 * Reads a page of a b-tree. A cell that makes no sense is counted and left out; one that does is read with its overflow.
 * Source: SQLite, Database File Format, sections 1.6 (b-tree pages) and 2.1 (records).
 * @param withCells  false for one of which only the children are wanted
 * @throws Senseless when it is no page of a tree
 */
export function readTreePage(pages: Pages, number: number, withCells: boolean): TreePage {
  const found = pages.page(number)
  if (!found) throw new Senseless('beyond the end')
  // overflow pages are read in between
  const page = Buffer.from(found)
  const start = number === 1 ? 100 : 0
  const kind = page[start] ?? 0
  if (!isTreePage(kind)) throw new Senseless('no page of a tree')
  const isInterior = kind === kinds.tableInterior || kind === kinds.indexInterior
  const cellCount = page.readUInt16BE(start + 3)
  const pointers = start + (isInterior ? 12 : 8)
  if (pointers + 2 * cellCount > pages.usable) throw new Senseless('more cells than it holds')
  const tree: TreePage = { kind, children: [], cells: [], senseless: 0 }
  for (let i = 0; i < cellCount; i++) {
    try {
      const at = page.readUInt16BE(pointers + 2 * i)
      if (at < pointers || at >= pages.usable) throw new Senseless('a cell outside of its page')
      if (isInterior) tree.children.push(page.readUInt32BE(at))
      if (kind === kinds.tableInterior || !withCells) continue
      tree.cells.push(readCell(pages, page, isInterior ? at + 4 : at, kind))
    } catch (error) {
      if (!(error instanceof Senseless || error instanceof RangeError || error instanceof TypeError)) throw error
      tree.senseless++
    }
  }
  if (isInterior) tree.children.push(page.readUInt32BE(start + 8))
  return tree
}

function readCell(pages: Pages, page: Buffer, at: number, kind: number): Cell {
  let [length, next] = varint(page, at)
  let rowid: number | null = null
  if (kind === kinds.tableLeaf) [rowid, next] = varint(page, next)
  return { rowid, values: readRecord(payload(pages, page, next, length, kind)) }
}

/** A value longer than this is no value of ours. */
const longest = 64 * 1024 * 1024

function payload(pages: Pages, page: Buffer, at: number, length: number, kind: number): Buffer {
  const { usable } = pages
  if (length > longest) throw new Senseless('a record without end')
  const most = kind === kinds.tableLeaf ? usable - 35 : Math.floor(((usable - 12) * 64) / 255) - 23
  if (length <= most) return within(page, at, length, usable)
  const least = Math.floor(((usable - 12) * 32) / 255) - 23
  const spread = least + ((length - least) % (usable - 4))
  const local = spread <= most ? spread : least
  const pieces = [within(page, at, local, usable)]
  let left = length - local
  let number = page.readUInt32BE(at + local)
  while (left > 0) {
    const overflow = pages.page(number)
    if (!overflow) throw new Senseless('its rest is missing')
    const piece = Math.min(left, usable - 4)
    pieces.push(Buffer.from(overflow.subarray(4, 4 + piece)))
    left -= piece
    number = overflow.readUInt32BE(0)
  }
  return Buffer.concat(pieces)
}

function within(page: Buffer, at: number, length: number, usable: number): Buffer {
  if (at + length > usable) throw new Senseless('a record outside of its page')
  return page.subarray(at, at + length)
}

const utf8 = new TextDecoder('utf-8', { fatal: true })

function readRecord(record: Buffer): Values {
  const [headerLength, first] = varint(record, 0)
  if (headerLength > record.length) throw new Senseless('a header longer than its record')
  const values: Values = []
  let at = headerLength
  for (let next = first; next < headerLength; ) {
    const [type, after] = varint(record, next)
    next = after
    const length = lengthOf(type)
    if (at + length > record.length) throw new Senseless('a value longer than its record')
    values.push(valueOf(record, type, at, length))
    at += length
  }
  if (at !== record.length) throw new Senseless('a record longer than its values')
  return values
}

const lengths = [0, 1, 2, 3, 4, 6, 8, 8, 0, 0]
function lengthOf(type: number): number {
  if (type >= 12) return Math.floor((type - 12) / 2)
  const length = lengths[type]
  if (length === undefined) throw new Senseless('a value of no kind')
  return length
}

function valueOf(record: Buffer, type: number, at: number, length: number): string | number | null {
  if (type === 0) return null
  if (type <= 4) return record.readIntBE(at, length)
  if (type === 5) return record.readIntBE(at, 6)
  if (type === 6) return Number(record.readBigInt64BE(at))
  if (type === 7) return record.readDoubleBE(at)
  if (type <= 9) return type - 8
  // a rack keeps no blobs
  if (type % 2 === 0) throw new Senseless('a blob')
  return utf8.decode(record.subarray(at, at + length))
}

/** @returns the number and where the next one begins */
function varint(bytes: Buffer, at: number): [value: number, next: number] {
  let value = 0
  for (let i = 0; i < 9; i++) {
    const byte = bytes[at + i]
    if (byte === undefined) throw new Senseless('a number that breaks off')
    if (i === 8) return [value * 256 + byte, at + 9]
    value = value * 128 + (byte & 127)
    if (byte < 128) return [value, at + i + 1]
  }
  throw new Senseless('a number without end')
}
