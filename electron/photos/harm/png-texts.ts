import { inflateSync } from 'node:zlib'
import type { Bytes } from './bytes-of.ts'

/** Programs keep their notes in a few of these; a decoder keeps them all, unpacked, in memory. */
const mostTexts = 500
/** Notes of a whole editing history take some hundred kilobytes. */
const mostTextBytes = 8_000_000
const mostChunks = 50_000

/**
 * Whether what stands before a PNG's picture stays small when it is unpacked: three megabytes of packed texts may be three
 * gigabytes of text.
 * Source: PNG (third edition) sections 5.3 (chunks), 11.3.3 (tEXt, zTXt, iTXt) and 10.1 (compression method 0).
 */
export async function textsAreBearable(bytes: Bytes): Promise<boolean> {
  let [texts, unpacked] = [0, 0]
  let at = 8
  for (let i = 0; i < mostChunks; i++) {
    const head = await bytes.at(at, 8)
    if (head.length < 8) return true
    const length = head.readUInt32BE(0)
    const name = head.toString('latin1', 4, 8)
    // what stands behind is passed over by the decoder
    if (name === 'IDAT' || name === 'IEND') return true
    if (name === 'tEXt' || name === 'zTXt' || name === 'iTXt') {
      if (++texts > mostTexts || length > mostTextBytes) return false
      unpacked += name === 'tEXt' ? length : await unpackedLength(bytes, at + 8, length, name)
      if (unpacked > mostTextBytes) return false
    }
    at += 12 + length
  }
  return false
}

/** @returns Infinity for more than is looked at */
async function unpackedLength(bytes: Bytes, at: number, length: number, name: 'zTXt' | 'iTXt'): Promise<number> {
  const pieces: Buffer[] = []
  for (let done = 0; done < length; ) {
    const piece = await bytes.at(at + done, length - done)
    if (piece.length === 0) break
    pieces.push(Buffer.from(piece))
    done += piece.length
  }
  const body = Buffer.concat(pieces)
  const keyEnd = body.indexOf(0)
  if (keyEnd < 0) return body.length
  if (name === 'iTXt' && body[keyEnd + 1] !== 1) return body.length
  let start = keyEnd + 2
  if (name === 'iTXt') {
    // language and translated keyword end with a zero each
    const language = body.indexOf(0, keyEnd + 3)
    const keyword = language < 0 ? -1 : body.indexOf(0, language + 1)
    if (keyword < 0) return body.length
    start = keyword + 1
  }
  try {
    return inflateSync(body.subarray(start), { maxOutputLength: mostTextBytes }).length
  } catch (error) {
    // what is no packed text is the decoder's to judge; it is not unpacked there either
    return (error as { code?: string }).code === 'ERR_BUFFER_TOO_LARGE' ? Number.POSITIVE_INFINITY : body.length
  }
}
