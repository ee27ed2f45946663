import { type FileHandle, open } from 'node:fs/promises'
import {
  adobeRgbProfile,
  proPhotoRgbProfile,
  type RgbProfile,
  srgbProfile,
} from '../../../shared-core/colour/profile.ts'
import { lookForHarmIn } from '../harm/look-for-harm.ts'
import { refusals } from '../refusals.ts'
import { type Directory, readDirectories } from './directories.ts'
import { turnedJpeg } from './turned-jpeg.ts'

/** The developed picture that a camera keeps inside its raw file. */
export type Preview = {
  /** A whole JPEG file, marked with the way it has to be turned. */
  jpeg: Uint8Array
  /** Named by the raw file beside the picture; the JPEG's own profile goes before it. */
  named: RgbProfile | null
}

const tags = {
  compression: 259,
  photometric: 262,
  stripOffsets: 273,
  orientation: 274,
  stripByteCounts: 279,
  jpegOffset: 513,
  jpegLength: 514,
  previewColourSpace: 50970,
}
const jpegCompressions = [6, 7]
/** Grey, RGB, YCbCr. What the sensor saw (colour filter array, linear raw) has numbers of its own. */
const developed = [1, 2, 6]
/** PreviewColorSpace of Digital Negative 1.6; greys have a curve of 2.2, which nobody reads a colour from. */
const spaces = new Map<number, RgbProfile>([
  [2, srgbProfile],
  [3, adobeRgbProfile],
  [4, proPhotoRgbProfile],
])
const mostJpegBytes = 100_000_000
/** Segments before a JPEG's frame hold a profile and EXIF with its own thumbnail. */
const mostHeadBytes = 1_000_000
/** Smaller pictures are thumbnails for a list (160 × 120, 256 × 192): common practice, no source. */
const leastSide = 512

/**
 * The largest developed picture in a DNG file.
 * @throws Refusal photo/raw-no-preview, photo/damaged, photo/harmful
 * Source: Digital Negative 1.6, chapters 2 and 4 (preview images); TIFF 6.0 section 22 and Technical Note 2 (JPEG in TIFF).
 */
export async function previewOf(path: string): Promise<Preview> {
  const file = await open(path, 'r')
  try {
    const { size } = await file.stat()
    const directories = await readDirectories(file, new Set(Object.values(tags)))
    const turn = directories[0]?.get(tags.orientation)?.[0] ?? 1
    let best: { place: Place; side: number; directory: Directory } | null = null
    for (const directory of directories) {
      const place = placeOf(directory)
      if (!place || place.length < 4 || place.length > mostJpegBytes || place.at + place.length > size) continue
      // its size stands near its beginning: dozens of directories may name a hundred megabytes each
      const side = longerSide(await read(file, place.at, Math.min(place.length, mostHeadBytes)))
      if (side >= leastSide && side > (best?.side ?? 0)) best = { place, side, directory }
    }
    if (!best) throw refusals.rawWithoutPreview()
    const jpeg = await read(file, best.place.at, best.place.length)
    await lookForHarmIn(jpeg)
    const space = best.directory.get(tags.previewColourSpace)?.[0]
    return {
      jpeg: turnedJpeg(jpeg, best.directory.get(tags.orientation)?.[0] ?? turn),
      named: spaces.get(space ?? 0) ?? null,
    }
  } finally {
    await file.close()
  }
}

/** @throws Refusal photo/damaged when so many bytes are not there */
async function read(file: FileHandle, at: number, count: number): Promise<Uint8Array> {
  const bytes = new Uint8Array(count)
  const { bytesRead } = await file.read(bytes, 0, count, at)
  if (bytesRead !== count) throw refusals.damaged()
  return bytes
}

type Place = { at: number; length: number }

function placeOf(directory: Directory): Place | null {
  const first = (tag: number) => directory.get(tag)?.[0]
  if (!jpegCompressions.includes(first(tags.compression) ?? 0)) return null
  if (!developed.includes(first(tags.photometric) ?? 0)) return null
  const [at, length] = [first(tags.jpegOffset), first(tags.jpegLength)]
  if (at !== undefined && length !== undefined) return { at, length }
  const [strips, counts] = [directory.get(tags.stripOffsets), directory.get(tags.stripByteCounts)]
  if (strips?.length !== 1 || counts?.length !== 1) return null
  return { at: strips[0] ?? 0, length: counts[0] ?? 0 }
}

/** From the frame header of a baseline or progressive JPEG of 8 bits; 0 for anything else. Source: ISO/IEC 10918-1 B.2.2. */
function longerSide(jpeg: Uint8Array): number {
  const view = new DataView(jpeg.buffer, jpeg.byteOffset, jpeg.byteLength)
  if (view.getUint16(0) !== 0xffd8) return 0
  let at = 2
  while (at + 9 < jpeg.length && view.getUint8(at) === 0xff) {
    const marker = view.getUint8(at + 1)
    if (marker >= 0xc0 && marker <= 0xc2)
      return view.getUint8(at + 4) === 8 ? Math.max(view.getUint16(at + 5), view.getUint16(at + 7)) : 0
    at += 2 + view.getUint16(at + 2)
  }
  return 0
}
