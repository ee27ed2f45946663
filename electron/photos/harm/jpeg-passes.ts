import type { Bytes } from './bytes-of.ts'

/** A frame's size, and how often the decoder goes over all of it. */
export type Passes = { pixels: number; scans: number }

const isFrame = (marker: number) => marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)
/** What follows a 0xFF inside of coded data: nothing is meant, or the coder begins anew. */
const isCoded = (second: number) => second === 0 || (second >= 0xd0 && second <= 0xd7)
/** SOI and TEM have no length. */
const standsAlone = (marker: number) => marker === 0xd8 || marker === 0x01
/** More than any camera or program writes; what comes behind is looked at no more. */
const mostSegments = 20_000

/**
 * Counts the scans of a JPEG without decoding it. Each scan of a progressive one is a pass over the whole picture, though
 * it may take only a few bytes: hundreds of them in a large frame keep a decoder busy for minutes.
 * Source: ISO/IEC 10918-1 annex B (markers; a 0xFF in coded data is followed by 0x00).
 */
export async function passesOf(bytes: Bytes): Promise<Passes> {
  const found: Passes = { pixels: 0, scans: 0 }
  let at = 2
  for (let i = 0; i < mostSegments; i++) {
    const place = await nextMarker(bytes, at)
    if (place === null) return found
    const head = await bytes.at(place, 10)
    const marker = head[1] ?? 0
    if (marker === 0xd9) return found
    if (standsAlone(marker)) {
      at = place + 2
      continue
    }
    if (head.length < 4) return found
    if (isFrame(marker) && head.length >= 9)
      found.pixels = Math.max(found.pixels, head.readUInt16BE(5) * head.readUInt16BE(7))
    if (marker === 0xda) found.scans++
    at = place + 2 + Math.max(2, head.readUInt16BE(2))
  }
  found.scans = Math.max(found.scans, mostSegments)
  return found
}

/** The place of the next marker: coded data in between are passed over, as a decoder does. */
async function nextMarker(bytes: Bytes, from: number): Promise<number | null> {
  let at = from
  while (at + 1 < bytes.size) {
    const piece = await bytes.at(at, 8192)
    if (piece.length < 2) return null
    let inside = 0
    for (;;) {
      inside = piece.indexOf(0xff, inside)
      if (inside < 0 || inside + 1 >= piece.length) break
      const next = piece[inside + 1] ?? 0
      if (!isCoded(next) && next !== 0xff) return at + inside
      inside += next === 0xff ? 1 : 2
    }
    // the last byte may be the first of a marker
    at += inside < 0 ? piece.length : Math.max(1, piece.length - 1)
  }
  return null
}
