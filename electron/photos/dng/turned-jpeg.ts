/** Marks and lengths of ISO/IEC 10918-1 table B.1. */
const app0 = 0xe0
const app1 = 0xe1
const exifHead = 'Exif\0\0'
const orientationTag = 274

/**
 * A JPEG that says which way up it is: its own word where it has one, else `orientation`.
 * @param orientation  1 to 8, as in EXIF 2.32; anything else is 1
 */
export function turnedJpeg(jpeg: Uint8Array, orientation: number): Uint8Array {
  if (!(orientation > 1 && orientation <= 8)) return jpeg
  const view = new DataView(jpeg.buffer, jpeg.byteOffset, jpeg.byteLength)
  const kept: Uint8Array[] = [jpeg.subarray(0, 2)]
  let at = 2
  while (at + 4 <= jpeg.length && view.getUint8(at) === 0xff) {
    const marker = view.getUint8(at + 1)
    if (marker < app0 || marker > 0xef) break
    const end = at + 2 + view.getUint16(at + 2)
    if (end > jpeg.length) return jpeg
    const segment = jpeg.subarray(at, end)
    const isExif = marker === app1 && String.fromCharCode(...segment.subarray(4, 10)) === exifHead
    if (isExif && saysOrientation(segment.subarray(10))) return jpeg
    // an EXIF block without the one number wanted gives way: two of them are one too many for a reader
    if (!isExif) kept.push(segment)
    at = end
  }
  const whole = new Uint8Array(jpeg.length + 100)
  const parts = [kept[0] ?? jpeg, exifWith(orientation), ...kept.slice(1), jpeg.subarray(at)]
  let length = 0
  for (const part of parts) {
    whole.set(part, length)
    length += part.length
  }
  return whole.subarray(0, length)
}

/** EXIF's first directory is a TIFF's. Source: EXIF 2.32 section 4.5. */
function saysOrientation(tiff: Uint8Array): boolean {
  if (tiff.length < 14) return false
  const view = new DataView(tiff.buffer, tiff.byteOffset, tiff.byteLength)
  const isLittle = view.getUint16(0) === 0x4949
  const start = view.getUint32(4, isLittle)
  if (start + 2 > tiff.length) return false
  const count = view.getUint16(start, isLittle)
  for (let i = 0; i < count && start + 14 + 12 * i <= tiff.length; i++)
    if (view.getUint16(start + 2 + 12 * i, isLittle) === orientationTag) return true
  return false
}

/** An APP1 segment with one entry: Orientation, SHORT, one number. */
function exifWith(orientation: number): Uint8Array {
  const segment = new Uint8Array(10 + 26)
  const view = new DataView(segment.buffer)
  view.setUint16(0, 0xff00 | app1)
  view.setUint16(2, segment.length - 2)
  segment.set(new TextEncoder().encode(`${exifHead}MM\0*`), 4)
  view.setUint32(14, 8)
  view.setUint16(18, 1)
  view.setUint16(20, orientationTag)
  view.setUint16(22, 3)
  view.setUint32(24, 1)
  view.setUint16(28, orientation)
  return segment
}
