import { open } from 'node:fs/promises'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'

/** What a file is by its first bytes; its name is never asked. */
export type Sniffed = PhotoFormat | 'heic' | 'drawing' | 'empty' | 'unknown'

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
  if (text(4, 8) === 'ftyp') {
    const size = ((bytes[0] ?? 0) << 24) | ((bytes[1] ?? 0) << 16) | ((bytes[2] ?? 0) << 8) | (bytes[3] ?? 0)
    const brands = [text(8, 12)]
    for (let at = 16; at + 4 <= Math.min(size, bytes.length); at += 4) brands.push(text(at, at + 4))
    if (brands.includes('avif') || brands.includes('avis')) return 'avif'
    if (brands.some((brand) => heicBrands.has(brand))) return 'heic'
  }
  // an SVG is text: an XML tag or comment somewhere before its root element
  if (/^\uFEFF?\s*<(?:\?xml|!--|!doctype svg|svg)/i.test(new TextDecoder().decode(bytes))) return 'drawing'
  return 'unknown'
}

export async function sniffFile(path: string): Promise<Sniffed> {
  const file = await open(path, 'r')
  try {
    const bytes = new Uint8Array(256)
    const { bytesRead } = await file.read(bytes, 0, bytes.length, 0)
    return sniff(bytes.subarray(0, bytesRead))
  } finally {
    await file.close()
  }
}
