import { sharp } from './open.ts'

/** A picture made here, on its way to a file. */
export type PictureToEncode = {
  /** Upright 8-bit RGB, row by row, already in `space`. */
  pixels: Uint8Array
  width: number
  height: number
  space: 'sRGB' | 'Display P3'
  /** JPEG quality, 1 to 100. */
  quality: number
  /** Stored on its side with EXIF orientation 6, as a phone held upright does. */
  onItsSide: boolean
  exif: { camera: string; takenAt: Date; exposureS: number; fNumber: number; iso: number } | null
}

/**
 * JPEG with EXIF and its profile. The numbers are never converted: sharp takes raw pixels for sRGB, so another profile
 * goes in as a segment of its own.
 */
export async function encodeJpeg(picture: PictureToEncode): Promise<Buffer> {
  let image = sharp(picture.pixels, { raw: { width: picture.width, height: picture.height, channels: 3 } })
  if (picture.onItsSide) image = image.rotate(270)
  const exif = picture.exif
  if (exif)
    image = image.withExif({
      IFD0: { Model: exif.camera },
      IFD2: {
        DateTimeOriginal: exifDate(exif.takenAt),
        ExposureTime: `1/${Math.round(1 / exif.exposureS)}`,
        FNumber: `${Math.round(exif.fNumber * 10)}/10`,
        ISOSpeedRatings: String(exif.iso),
      },
    })
  // withMetadata alone writes the orientation: sharp drops one given among EXIF fields.
  if (picture.onItsSide) image = image.withMetadata({ orientation: 6 })
  if (picture.space === 'sRGB') image = image.withIccProfile('srgb')
  const jpeg = await image.jpeg({ quality: picture.quality, chromaSubsampling: '4:2:0' }).toBuffer()
  return picture.space === 'sRGB' ? jpeg : withProfile(jpeg, await screenProfile('Display P3'))
}

/** EXIF 2.32 writes local time as `2025:03:14 16:20:05`. */
function exifDate(at: Date): string {
  return at.toISOString().slice(0, 19).replace('T', ' ').replaceAll('-', ':')
}

const profiles = new Map<PictureToEncode['space'], Promise<Buffer>>()

/** A profile that comes with sharp, taken from a picture of one pixel. */
export function screenProfile(space: PictureToEncode['space']): Promise<Buffer> {
  const kept = profiles.get(space)
  if (kept) return kept
  const made = sharp({ create: { width: 1, height: 1, channels: 3, background: '#000' } })
    .withIccProfile(space === 'sRGB' ? 'srgb' : 'p3')
    .jpeg()
    .toBuffer()
    .then((jpeg) => sharp(jpeg).metadata())
    .then(({ icc }) => {
      if (!icc) throw new Error(`sharp wrote no ${space} profile.`)
      return icc
    })
  profiles.set(space, made)
  return made
}

/** Puts a profile after the JPEG's own application segments. Source: ICC.1:2010 annex B.4 (APP2, one chunk). */
function withProfile(jpeg: Buffer, icc: Buffer): Buffer {
  let at = 2
  while (jpeg[at] === 0xff && (jpeg[at + 1] ?? 0) >= 0xe0 && (jpeg[at + 1] ?? 0) <= 0xef)
    at += 2 + jpeg.readUInt16BE(at + 2)
  const head = Buffer.from('\xff\xe2\0\0ICC_PROFILE\0\x01\x01', 'latin1')
  head.writeUInt16BE(head.length - 2 + icc.length, 2)
  return Buffer.concat([jpeg.subarray(0, at), head, icc, jpeg.subarray(at)])
}
