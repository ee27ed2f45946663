import type { PhotoFormat } from '../../records/photo.ts'

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
export function brandsOf(bytes: Uint8Array): string[] | null {
  const text = (from: number) => String.fromCharCode(...bytes.subarray(from, from + 4))
  if (text(4) !== 'ftyp') return null
  const size = ((bytes[0] ?? 0) << 24) | ((bytes[1] ?? 0) << 16) | ((bytes[2] ?? 0) << 8) | (bytes[3] ?? 0)
  const brands = [text(8)]
  for (let at = 16; at + 4 <= Math.min(size, bytes.length); at += 4) brands.push(text(at))
  return brands
}
