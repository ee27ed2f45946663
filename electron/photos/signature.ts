import { type FileHandle, open } from 'node:fs/promises'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'

/** What a file is by its first bytes; its name is never asked. */
export type Sniffed = PhotoFormat | 'raw' | 'drawing' | 'empty' | 'unknown'

const heicBrands = new Set(['heic', 'heix', 'heim', 'heis', 'hevc', 'hevx', 'hevm', 'hevs', 'mif1', 'msf1', 'mif2'])

/**
 * Tells a picture's type from its first bytes.
 * Sources: JPEG ISO/IEC 10918-1 annex B; PNG 3rd edition section 5.2; TIFF 6.0 section 2 (and BigTIFF); WebP container
 * specification (RIFF … WEBP); ISO/IEC 14496-12 ‘ftyp’ with the brands of ISO/IEC 23008-12 (HEIF) and AVIF 1.1.
 */
export function sniff(bytes: Uint8Array): Sniffed {
  if (bytes.length === 0) return 'empty'
  const text = (from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to))
  if (bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff) return 'jpeg'
  if (text(0, 8) === '\x89PNG\r\n\x1a\n') return 'png'
  if (['II*\0', 'MM\0*', 'II+\0', 'MM\0+'].includes(text(0, 4))) return 'tiff'
  if (text(0, 4) === 'RIFF' && text(8, 12) === 'WEBP') return 'webp'
  const brands = brandsOf(bytes)
  if (brands) {
    if (brands.includes('avif') || brands.includes('avis')) return 'avif'
    if (brands.some((brand) => heicBrands.has(brand))) return 'heic'
  }
  return /^(\u00ef\u00bb\u00bf)?\s*<(svg|\?xml|!doctype svg|!--)/i.test(text(0, 64)) &&
    /<svg[\s/>]/i.test(text(0, bytes.length))
    ? 'drawing'
    : 'unknown'
}

/** Names that an ISO base media file gives its kind; null when it is none. */
function brandsOf(bytes: Uint8Array): string[] | null {
  const text = (from: number) => String.fromCharCode(...bytes.subarray(from, from + 4))
  if (text(4) !== 'ftyp') return null
  const size = ((bytes[0] ?? 0) << 24) | ((bytes[1] ?? 0) << 16) | ((bytes[2] ?? 0) << 8) | (bytes[3] ?? 0)
  const brands = [text(8)]
  for (let at = 16; at + 4 <= Math.min(size, bytes.length); at += 4) brands.push(text(at))
  return brands
}

/** Whether an AVIF or HEIF file says that a gain map lies beside its picture (brand `tmap`, ISO 21496-1). */
export async function namesGainMap(path: string): Promise<boolean> {
  return brandsOf(await headOf(path))?.includes('tmap') ?? false
}

async function headOf(path: string): Promise<Uint8Array> {
  const file = await open(path, 'r')
  try {
    const bytes = new Uint8Array(headBytes)
    const { bytesRead } = await file.read(bytes, 0, bytes.length, 0)
    return bytes.subarray(0, bytesRead)
  } finally {
    await file.close()
  }
}

/** Also looks past the first bytes of a TIFF: raw files of cameras begin like one. */
export async function sniffFile(path: string): Promise<Sniffed> {
  const file = await open(path, 'r')
  try {
    const bytes = new Uint8Array(headBytes)
    const { bytesRead } = await file.read(bytes, 0, bytes.length, 0)
    const sniffed = sniff(bytes.subarray(0, bytesRead))
    return sniffed === 'tiff' ? await whichTiff(file, bytes) : sniffed
  } finally {
    await file.close()
  }
}

const headBytes = 1024
const tags = { newSubfileType: 254, subIfds: 330, dngVersion: 50706 }

/**
 * Whether a TIFF is a camera's raw file: it says so (DNG), or its first picture is a thumbnail of one kept elsewhere (raw),
 * and that thumbnail would be read for the photo.
 * Sources: TIFF 6.0 section 2 (directory entries) and 8 (NewSubfileType, bit 0: reduced); TIFF Supplement 1 (SubIFDs);
 * Digital Negative 1.6 (DNGVersion).
 */
async function whichTiff(file: FileHandle, head: Uint8Array): Promise<'tiff' | 'dng' | 'raw'> {
  const isLittle = head[0] === 0x49
  const header = new DataView(head.buffer)
  if (header.getUint16(2, isLittle) !== 42) return 'tiff'
  const entries = new Uint8Array(2 + 12 * 200)
  const { bytesRead } = await file.read(entries, 0, entries.length, header.getUint32(4, isLittle))
  if (bytesRead < 2) return 'tiff'
  const directory = new DataView(entries.buffer, 0, bytesRead)
  let isThumbnail = false
  let hasOthers = false
  for (let i = 0; i < directory.getUint16(0, isLittle) && 14 + 12 * i <= bytesRead; i++) {
    const tag = directory.getUint16(2 + 12 * i, isLittle)
    if (tag === tags.dngVersion) return 'dng'
    if (tag === tags.subIfds) hasOthers = true
    if (tag === tags.newSubfileType) isThumbnail = (directory.getUint32(10 + 12 * i, isLittle) & 1) === 1
  }
  return isThumbnail && hasOthers ? 'raw' : 'tiff'
}
