import { stat } from 'node:fs/promises'
import type { Metadata } from 'sharp'
import type { Caution, Exposure, PhotoFormat } from '../../shared-core/records/photo.ts'
import { exposureOf } from './exposure.ts'
import { openPhoto } from './open.ts'
import { type FileProfile, profileOfFile } from './profile-of-file.ts'
import { refusalOf, refusals } from './refusals.ts'
import { sniffFile } from './signature.ts'

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
 * @throws Refusal photo/empty, not-a-picture, drawing, heic-later, raw-later, damaged, too-large, cmyk, not-8-or-16-bit,
 *   many-pictures
 */
export async function inspectPhoto(path: string): Promise<Inspected> {
  const format = await acceptedFormat(path)
  const { size: byteCount } = await stat(path)
  const facts = await factsOf(path)
  await decodeOnce(path)
  const exposure = await exposureOf(facts.exif)
  return {
    format,
    width: facts.width,
    height: facts.height,
    byteCount,
    bits: facts.bits,
    profile: facts.file.profile.name,
    profileAssumed: facts.file.assumed,
    exposure,
    cautions: facts.file.cautions,
  }
}

async function acceptedFormat(path: string): Promise<PhotoFormat> {
  const sniffed = await sniffFile(path)
  if (sniffed === 'empty') throw refusals.empty()
  if (sniffed === 'heic') throw refusals.heic()
  if (sniffed === 'drawing') throw refusals.drawing()
  if (sniffed === 'raw') throw refusals.raw()
  if (sniffed === 'unknown') throw refusals.notAPicture()
  return sniffed
}

export type Facts = {
  width: number
  height: number
  bits: 8 | 16
  isGrey: boolean
  file: FileProfile
  exif: Uint8Array | undefined
  icc: Uint8Array | undefined
}

/** What the header says. @throws Refusal when the picture cannot be one of ours */
export async function factsOf(path: string): Promise<Facts> {
  let metadata: Metadata
  try {
    metadata = await openPhoto(path).metadata()
  } catch (error) {
    throw refusalOf(error)
  }
  const { width, height } = metadata.autoOrient
  if (metadata.space === 'cmyk') throw refusals.cmyk()
  if ((metadata.pages ?? 1) > 1) throw refusals.manyPictures()
  const isGrey = metadata.channels < 3
  return {
    width,
    height,
    bits: bitsOf(metadata.depth),
    isGrey,
    file: profileOfFile(metadata.icc, isGrey),
    exif: metadata.exif,
    icc: metadata.icc,
  }
}

function bitsOf(depth: string): 8 | 16 {
  if (depth === 'uchar') return 8
  if (depth === 'ushort') return 16
  throw refusals.strangeNumbers()
}

async function decodeOnce(path: string): Promise<void> {
  try {
    await openPhoto(path).stats()
  } catch (error) {
    throw refusalOf(error)
  }
}
