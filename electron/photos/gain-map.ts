import { type FileHandle, open } from 'node:fs/promises'
import type { Caution } from '../../shared-core/records/photo.ts'

export const gainMapIgnored: Caution = {
  code: 'photo/gain-map-ignored',
  message: 'The photo also holds a brighter rendering for HDR screens (a gain map); only its ordinary picture is read.',
  remedy: 'Nothing needs to be done; switching HDR off in the camera’s settings saves the space.',
  weight: 'note',
}

/** XMP of a photo takes one segment, sometimes a few; a hundred segments hold all that cameras write before the picture. */
const mostSegments = 200
/** Phones write two or three. */
const mostPictures = 16
/** Segments that say so stand at the very beginning of the second picture. */
const headBytes = 70_000

/**
 * Whether a JPEG carries a gain map: it says so itself, or a further picture behind it is one.
 * Sources: ISO 21496-1 annex on JPEG (APP2 named `urn:iso:std:iso:ts:21496:-1`); the XMP properties that are in use beside it;
 * CIPA DC-007 (multi-picture format, APP2 `MPF`).
 */
export async function jpegHasGainMap(path: string): Promise<boolean> {
  const file = await open(path, 'r')
  try {
    const segments = await applicationSegments(file, 0)
    if (segments.some(saysGainMap)) return true
    for (const at of segments.flatMap(otherPictures).slice(0, mostPictures))
      if ((await applicationSegments(file, at)).some(saysGainMap)) return true
    return false
  } finally {
    await file.close()
  }
}

type Segment = { marker: number; at: number; bytes: Uint8Array }

const latin = (bytes: Uint8Array) => Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('latin1')

function saysGainMap({ marker, bytes }: Segment): boolean {
  if (marker === 0xe2) return latin(bytes.subarray(0, 28)).startsWith('urn:iso:std:iso:ts:21496:-1\0')
  return marker === 0xe1 && /hdr-?gain-?map/i.test(latin(bytes))
}

/** The application segments (APP1, APP2) of the JPEG that begins at a place in the file. Source: ISO/IEC 10918-1 B.1.1. */
async function applicationSegments(file: FileHandle, start: number): Promise<Segment[]> {
  /** Two bytes of a marker, two of a length. */
  const four = async (at: number): Promise<number[] | null> => {
    const bytes = new Uint8Array(4)
    return (await file.read(bytes, 0, 4, at)).bytesRead === 4 ? [...bytes] : null
  }
  const found: Segment[] = []
  const begin = await four(start)
  if (begin?.[0] !== 0xff || begin[1] !== 0xd8) return found
  let at = start + 2
  for (let i = 0; i < mostSegments; i++) {
    const [first, marker = 0, high = 0, low = 0] = (await four(at)) ?? []
    const length = (high << 8) | low
    // scan or end: the picture begins
    if (first !== 0xff || length < 2 || marker === 0xda || marker === 0xd9) break
    if (marker === 0xe1 || marker === 0xe2) {
      const bytes = new Uint8Array(Math.min(length - 2, headBytes))
      const { bytesRead } = await file.read(bytes, 0, bytes.length, at + 4)
      found.push({ marker, at: at + 4, bytes: bytes.subarray(0, bytesRead) })
    }
    at += 2 + length
  }
  return found
}

/** Places in the file of the pictures behind the first, from the index of a multi-picture file (CIPA DC-007 5.2.3). */
function otherPictures({ marker, at, bytes }: Segment): number[] {
  if (marker !== 0xe2 || latin(bytes.subarray(0, 4)) !== 'MPF\0' || bytes.length < 14) return []
  const view = new DataView(bytes.buffer, bytes.byteOffset + 4, bytes.byteLength - 4)
  const isLittle = view.getUint16(0) === 0x4949
  const start = view.getUint32(4, isLittle)
  if (start + 2 > view.byteLength) return []
  const count = view.getUint16(start, isLittle)
  for (let i = 0; i < count && start + 14 + 12 * i <= view.byteLength; i++) {
    const entry = start + 2 + 12 * i
    if (view.getUint16(entry, isLittle) !== 0xb002) continue
    const [size, list] = [view.getUint32(entry + 4, isLittle), view.getUint32(entry + 8, isLittle)]
    const pictures: number[] = []
    for (let p = list; p + 16 <= Math.min(list + size, view.byteLength) && pictures.length < mostPictures; p += 16) {
      const offset = view.getUint32(p + 8, isLittle)
      // the first picture is the file's own and has no offset; the others count from the index's own byte order mark
      if (offset !== 0) pictures.push(at + 4 + offset)
    }
    return pictures
  }
  return []
}
