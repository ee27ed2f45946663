import { stat } from 'node:fs/promises'
import type { Metadata } from 'sharp'
import type { Exposure } from '../../shared-core/records/exposure.ts'
import type { Caution, PhotoFormat } from '../../shared-core/records/photo.ts'
import { previewOf } from './dng/preview.ts'
import { exposureOf } from './exposure.ts'
import { gainMapIgnored, jpegHasGainMap } from './gain-map.ts'
import { lookForHarm, mustBeBearable } from './harm/look-for-harm.ts'
import { checkHeif, describeHeif } from './heif/heif-file.ts'
import { openPhoto } from './open.ts'
import { openPicture } from './open-picture.ts'
import { type FileProfile, profileOfFile } from './profile/profile-of-file.ts'
import { refusalOf, refusals } from './refusals.ts'
import { namesGainMap, sniffFile } from './signature.ts'

/** What a photo's file says about itself. */
export type Inspected = {
  format: PhotoFormat
  /** Upright. */
  width: number
  height: number
  byteCount: number
  bits: 8 | 16
  profile: string
  profileAssumed: boolean
  exposure: Exposure
  cautions: Caution[]
}

/**
 * Looks at a file and decides whether it is a photo that can be read to its end.
 * Its type is told from its bytes. The whole picture is decoded once, small, because a cut file shows only then.
 * @throws Refusal photo/empty, not-a-picture, drawing, raw-later, raw-no-preview, damaged, too-large, cmyk,
 *   not-8-or-16-bit, many-pictures, heif-coding, hdr, harmful, too-long; or the signal's reason
 */
export async function inspectPhoto(path: string, signal?: AbortSignal): Promise<Inspected> {
  const facts = await factsOf(path, signal)
  await decodeOnce(path, facts, signal)
  signal?.throwIfAborted()
  return describePhoto(path, facts)
}

/** What is kept of a photo whose picture has been decoded to its end. @param facts  what `factsOf` said of it */
export async function describePhoto(path: string, facts: Facts): Promise<Inspected> {
  const { size: byteCount } = await stat(path)
  const gainMap = await gainMapOf(path, facts.format)
  const exposure = await exposureOf(facts.exif)
  return {
    format: facts.format,
    width: facts.width,
    height: facts.height,
    byteCount,
    bits: facts.bits,
    profile: facts.file.profile.name,
    profileAssumed: facts.file.assumed,
    exposure,
    cautions: [...facts.cautions, ...gainMap],
  }
}

/** The type of a file by its bytes. @throws Refusal when it is not one of ours; the system's error when it cannot be read */
export async function acceptedFormat(path: string): Promise<PhotoFormat> {
  const sniffed = await sniffFile(path)
  if (sniffed === 'empty') throw refusals.empty()
  if (sniffed === 'drawing') throw refusals.drawing()
  if (sniffed === 'raw') throw refusals.raw()
  if (sniffed === 'unknown') throw refusals.notAPicture()
  return sniffed
}

export type Facts = {
  format: PhotoFormat
  /** Upright. */
  width: number
  height: number
  /** Of the numbers that `decodePhoto` gives: files with 10 or 12 bits come as 16. */
  bits: 8 | 16
  isGrey: boolean
  file: FileProfile
  /** An EXIF block, or the path of a file that is built like one. */
  exif: Uint8Array | string | undefined
  /** What pictures made of the photo are tagged with. */
  icc: Uint8Array | undefined
  cautions: Caution[]
}

/** What the header says. @throws Refusal when the picture cannot be one of ours; or the signal's reason */
export async function factsOf(path: string, signal?: AbortSignal): Promise<Facts> {
  const format = await acceptedFormat(path)
  await lookForHarm(path, format)
  if (format === 'heic') return heifFacts(path, signal)
  const preview = format === 'dng' ? await previewOf(path) : null
  let metadata: Metadata
  try {
    metadata = await openPhoto(preview?.jpeg ?? path).metadata()
  } catch (error) {
    throw refusalOf(error)
  }
  if (metadata.format !== decodedAs[format]) throw refusals.notAPicture()
  const { width, height } = metadata.autoOrient
  if (metadata.space === 'cmyk') throw refusals.cmyk()
  if (!ours.includes(metadata.space)) throw refusals.strangeNumbers()
  if ((metadata.pages ?? 1) > 1) throw refusals.manyPictures()
  mustBeBearable(format, metadata)
  const isGrey = metadata.channels < 3
  const file = profileOfFile({ isGrey, icc: metadata.icc, named: preview?.named ?? null })
  return {
    format,
    width,
    height,
    bits: bitsOf(metadata.depth),
    isGrey,
    file,
    exif: preview ? path : metadata.exif,
    icc: file.icc,
    cautions: preview ? [previewOfRaw(width, height), ...file.cautions] : file.cautions,
  }
}

/** What the decoder calls each format: it goes by other bytes than we do, and both must mean the same file. */
const decodedAs: Readonly<Record<Exclude<PhotoFormat, 'heic'>, string>> = {
  jpeg: 'jpeg',
  png: 'png',
  tiff: 'tiff',
  webp: 'webp',
  avif: 'heif',
  dng: 'jpeg',
}

/** Names of libvips for red, green and blue, and for greys. */
const ours = ['srgb', 'rgb', 'rgb16', 'b-w', 'grey16']

async function heifFacts(path: string, signal?: AbortSignal): Promise<Facts> {
  const { width, height, bits, isGrey, icc, codePoints, exif, hasGainMap } = await describeHeif(path, signal)
  const file = profileOfFile({ isGrey, icc, codePoints })
  return {
    format: 'heic',
    width,
    height,
    bits: bits > 8 ? 16 : 8,
    isGrey,
    file,
    exif: exif ?? undefined,
    icc: file.icc,
    cautions: hasGainMap ? [...file.cautions, gainMapIgnored] : file.cautions,
  }
}

function bitsOf(depth: string): 8 | 16 {
  if (depth === 'uchar') return 8
  if (depth === 'ushort') return 16
  throw refusals.strangeNumbers()
}

async function decodeOnce(path: string, facts: Facts, signal?: AbortSignal): Promise<void> {
  if (facts.format === 'heic') return checkHeif(path, facts, signal)
  try {
    // an eighth as wide: a JPEG's every code is still read, and a cut or broken one found, at a fraction of the work
    const picture = await openPicture(path, facts)
    await picture
      .resize({ width: Math.max(1, Math.ceil(facts.width / 8)) })
      .raw()
      .toBuffer()
  } catch (error) {
    throw refusalOf(error)
  }
}

async function gainMapOf(path: string, format: PhotoFormat): Promise<Caution[]> {
  const has = format === 'jpeg' ? await jpegHasGainMap(path) : format === 'avif' && (await namesGainMap(path))
  return has ? [gainMapIgnored] : []
}

const previewOfRaw = (width: number, height: number): Caution => ({
  code: 'photo/preview-of-raw',
  message: `This is a raw file: what is read is the camera’s own smaller picture inside it (${width} × ${height} pixels), as the camera developed it.`,
  remedy: 'For more, develop the raw file on the computer, export a 16-bit TIFF and add that.',
  weight: 'note',
})
