import type { FileHandle } from 'node:fs/promises'

/** One directory of a TIFF file: the whole numbers of its entries, as many as are needed, by tag. */
export type Directory = Map<number, number[]>

/** A camera writes about ten directories with up to a hundred entries; nobody needs more. */
const mostDirectories = 64
const mostEntries = 1000
/** Of longer arrays (strips, tiles) the first numbers tell enough. */
const mostNumbers = 64

const subIfds = 330
/** Bytes for one number of the types that hold whole numbers: BYTE, SHORT, LONG, IFD, UNDEFINED. */
const sizes = new Map([
  [1, 1],
  [3, 2],
  [4, 4],
  [7, 1],
  [13, 4],
])

/**
 * Walks the directories of a TIFF file: the chain, and what hangs below each. Every place is visited once, so a file that
 * points back to itself ends; what points outside of the file is passed over.
 * @param wanted  tags whose numbers are read: no others, or a file of thousands of entries would take its time
 * @returns  the first directory first; empty when it is no TIFF
 * Source: TIFF 6.0 section 2; TIFF Supplement 1 (SubIFDs).
 */
export async function readDirectories(file: FileHandle, wanted: ReadonlySet<number>): Promise<Directory[]> {
  const { size } = await file.stat()
  const read = async (at: number, count: number): Promise<DataView | null> => {
    if (at < 0 || count <= 0 || at + count > size) return null
    const bytes = new Uint8Array(count)
    const { bytesRead } = await file.read(bytes, 0, count, at)
    return bytesRead === count ? new DataView(bytes.buffer) : null
  }
  const head = await read(0, 8)
  const order = head?.getUint16(0)
  if (!head || (order !== 0x4949 && order !== 0x4d4d)) return []
  const isLittle = order === 0x4949
  if (head.getUint16(2, isLittle) !== 42) return []

  const found: Directory[] = []
  const visited = new Set<number>()
  const toVisit = [head.getUint32(4, isLittle)]
  while (toVisit.length > 0 && found.length < mostDirectories) {
    const at = toVisit.shift() ?? 0
    if (at === 0 || visited.has(at)) continue
    visited.add(at)
    const count = (await read(at, 2))?.getUint16(0, isLittle) ?? 0
    if (count === 0 || count > mostEntries) continue
    const entries = await read(at + 2, count * 12)
    if (!entries) continue
    const directory: Directory = new Map()
    for (let i = 0; i < count; i++) {
      const tag = entries.getUint16(i * 12, isLittle)
      // one tag stands once
      if ((tag !== subIfds && !wanted.has(tag)) || directory.has(tag)) continue
      const numbers = await numbersOf(entries, i * 12, isLittle, read)
      if (numbers) directory.set(tag, numbers)
    }
    found.push(directory)
    toVisit.push(...(directory.get(subIfds) ?? []))
    toVisit.push((await read(at + 2 + count * 12, 4))?.getUint32(0, isLittle) ?? 0)
  }
  return found
}

type Read = (at: number, count: number) => Promise<DataView | null>

async function numbersOf(entries: DataView, at: number, isLittle: boolean, read: Read): Promise<number[] | null> {
  const size = sizes.get(entries.getUint16(at + 2, isLittle))
  const all = entries.getUint32(at + 4, isLittle)
  if (!size || all === 0) return null
  const count = Math.min(all, mostNumbers)
  const isInside = all * size <= 4
  const view = isInside ? entries : await read(entries.getUint32(at + 8, isLittle), count * size)
  if (!view) return null
  const from = isInside ? at + 8 : 0
  return Array.from({ length: count }, (_, i) => {
    if (size === 1) return view.getUint8(from + i)
    return size === 2 ? view.getUint16(from + i * 2, isLittle) : view.getUint32(from + i * 4, isLittle)
  })
}
