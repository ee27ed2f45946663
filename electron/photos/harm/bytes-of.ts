import type { FileHandle } from 'node:fs/promises'

/** Bytes of a file as they are needed, in large pieces: what lies beyond its end is not there. */
export type Bytes = {
  readonly size: number
  /** As many as asked for, or fewer at the end. Good until the next call. */
  at(place: number, count: number): Promise<Buffer>
}

const pieceBytes = 1 << 18

export async function bytesOf(file: FileHandle): Promise<Bytes> {
  const { size } = await file.stat()
  const piece = Buffer.allocUnsafeSlow(pieceBytes)
  let [from, length] = [0, 0]
  return {
    size,
    at: async (place, count) => {
      const wanted = Math.max(0, Math.min(count, pieceBytes, size - place))
      if (place < from || place + wanted > from + length) {
        const { bytesRead } = await file.read(piece, 0, pieceBytes, place)
        from = place
        length = bytesRead
      }
      return piece.subarray(place - from, Math.min(place - from + wanted, length))
    },
  }
}

export const bytesInMemory = (bytes: Uint8Array): Bytes => {
  const all = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  return { size: all.length, at: async (place, count) => all.subarray(place, place + count) }
}
