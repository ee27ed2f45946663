import { createHash } from 'node:crypto'
import type { FileHandle } from 'node:fs/promises'
import { pipeline } from 'node:stream/promises'
import { crc32, createInflateRaw } from 'node:zlib'
import { archiveDamaged, archiveSuspicious } from '../refusals.ts'
import type { Entry } from './directory.ts'

const pieceBytes = 256 * 1024

/** Pieces of the packed bytes: read by place, so that a file handle serves one entry after the other. */
async function* packedPieces(file: FileHandle, { dataStart, packedBytes, name }: Entry): AsyncGenerator<Buffer> {
  for (let done = 0; done < packedBytes; ) {
    const piece = Buffer.allocUnsafe(Math.min(pieceBytes, packedBytes - done))
    const { bytesRead } = await file.read(piece, 0, piece.length, dataStart + done)
    if (bytesRead === 0) throw archiveDamaged(`it ends in the middle of ${name}`)
    done += bytesRead
    yield piece.subarray(0, bytesRead)
  }
}

/**
 * Unpacks one entry piece by piece. No more than its declared size ever comes out, and its CRC-32 has to be right.
 * @returns its SHA-256
 */
export async function unpackEntry(
  file: FileHandle,
  entry: Entry,
  take: (piece: Buffer) => Promise<void> | void,
  signal?: AbortSignal,
): Promise<string> {
  const hash = createHash('sha256')
  let [crc, done] = [0, 0]
  const consume = async (pieces: AsyncIterable<Buffer>) => {
    for await (const piece of pieces) {
      signal?.throwIfAborted()
      done += piece.length
      if (done > entry.byteCount) throw archiveSuspicious(`${entry.name} is larger than it says`)
      crc = crc32(piece, crc)
      hash.update(piece)
      await take(piece)
    }
  }
  if (entry.deflated) {
    const inflate = createInflateRaw({ chunkSize: pieceBytes })
    try {
      await pipeline(packedPieces(file, entry), inflate, consume)
    } catch (error) {
      const code = (error as { code?: string }).code ?? ''
      if (/^Z_|^ERR_ZLIB/.test(code)) throw archiveDamaged(`${entry.name} cannot be unpacked`)
      throw error
    }
    if (inflate.bytesWritten !== entry.packedBytes) throw archiveSuspicious(`something is hidden in ${entry.name}`)
  } else await consume(packedPieces(file, entry))
  if (done !== entry.byteCount) throw archiveDamaged(`${entry.name} is shorter than it says`)
  if (crc !== entry.crc32) throw archiveDamaged(`${entry.name} is not as it was packed`)
  return hash.digest('hex')
}
