import { createHash } from 'node:crypto'
import type { FileHandle } from 'node:fs/promises'
import { setImmediate } from 'node:timers/promises'
import { openOrdinary } from '../../rack/disk/ordinary-file.ts'

const pieceBytes = 1 << 20

/** End of image (ISO/IEC 10918-1 B.1.1.3); the last chunk of a PNG with its checksum (PNG 3rd edition 11.2.5). */
const jpegEnd = Buffer.from([0xff, 0xd9])
const pngEnd = Buffer.from('0000000049454e44ae426082', 'hex')

/** `unclear` may have something behind its picture, as some phones write it, or may still be growing; `cut` lacks its end for sure. */
export type Ending = 'whole' | 'unclear' | 'cut'

/**
 * Whether a file ends as its kind of picture ends.
 * @throws the system's error
 */
export async function endingOf(path: string): Promise<Ending> {
  const file = await openOrdinary(path)
  try {
    const { size } = await file.stat()
    const start = await bytesAt(file, 0, 12)
    const end = await bytesAt(file, Math.max(0, size - 12), 12)
    if (start[0] === 0xff && start[1] === 0xd8) {
      if (end.subarray(-2).equals(jpegEnd)) return 'whole'
      return (await hasJpegEnd(file, size)) ? 'unclear' : 'cut'
    }
    if (start.toString('latin1', 1, 4) === 'PNG') return end.equals(pngEnd) ? 'whole' : 'unclear'
    if (start.toString('latin1', 0, 4) === 'RIFF' && start.length >= 8)
      return start.readUInt32LE(4) + 8 <= size ? 'whole' : 'cut'
    if (start.toString('latin1', 4, 8) === 'ftyp') return await boxesFill(file, size)
    return 'unclear'
  } finally {
    await file.close()
  }
}

async function bytesAt(file: FileHandle, position: number, count: number): Promise<Buffer> {
  const { buffer, bytesRead } = await file.read(Buffer.alloc(count), 0, count, position)
  return buffer.subarray(0, bytesRead)
}

/**
 * Whether the end of the picture stands anywhere behind the beginning of its first scan (ISO/IEC 10918-1 B.1.1.4 and B.2.3): previews
 * before it have ends of their own, and in a scan these two bytes mean nothing else.
 */
async function hasJpegEnd(file: FileHandle, size: number): Promise<boolean> {
  let at = 2
  for (let marker = 0; marker !== 0xda; ) {
    const head = await bytesAt(file, at, 4)
    if (head.length < 4 || head[0] !== 0xff) return false
    marker = head[1]!
    // bytes that only fill up
    at += marker === 0xff ? 1 : 2 + head.readUInt16BE(2)
  }
  for (; at < size; at += pieceBytes) {
    // one more: the two may lie on both sides of a seam
    if ((await bytesAt(file, at, pieceBytes + 1)).includes(jpegEnd)) return true
    await setImmediate()
  }
  return false
}

/** The boxes of an ISO base media file (ISO/IEC 14496-12 4.2) end where the file ends. */
async function boxesFill(file: FileHandle, size: number): Promise<Ending> {
  let at = 0
  for (let count = 0; at < size && count < 1000; count++) {
    const head = await bytesAt(file, at, 16)
    if (head.length < 8) return 'cut'
    const short = head.readUInt32BE(0)
    // 0: to the end of the file, wherever that will be
    if (short === 0) return 'unclear'
    const long = short === 1 && head.length === 16 ? Number(head.readBigUInt64BE(8)) : short
    if (long < 8) return 'unclear'
    at += long
  }
  return at === size ? 'whole' : at > size ? 'cut' : 'unclear'
}

/** SHA-256 of a file as it is now. @throws the system's error, or the signal's reason */
export async function contentOf(path: string, signal: AbortSignal): Promise<string> {
  const hash = createHash('sha256')
  const file = await openOrdinary(path)
  const piece = Buffer.allocUnsafe(pieceBytes)
  try {
    for (;;) {
      signal.throwIfAborted()
      const { bytesRead } = await file.read(piece, 0, pieceBytes)
      if (bytesRead === 0) return hash.digest('hex')
      hash.update(piece.subarray(0, bytesRead))
      // calls come between
      await setImmediate()
    }
  } finally {
    await file.close()
  }
}
