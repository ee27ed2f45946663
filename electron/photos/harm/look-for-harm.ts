import { open } from 'node:fs/promises'
import type { Metadata } from 'sharp'
import type { PhotoFormat } from '../../../shared-core/records/photo.ts'
import { refusals } from '../refusals.ts'
import { type Bytes, bytesInMemory, bytesOf } from './bytes-of.ts'
import { passesOf } from './jpeg-passes.ts'
import { textsAreBearable } from './png-texts.ts'

/**
 * What a file made to do harm does to a decoder, found before one is asked: a few kilobytes that unpack to gigabytes, or
 * that keep it busy for minutes.
 */

/** A photo of 200 megapixels with 16 bits for each of its channels stays below. */
const mostBytes: Readonly<Record<PhotoFormat, number>> = {
  jpeg: 256_000_000,
  heic: 256_000_000,
  avif: 256_000_000,
  webp: 256_000_000,
  png: 2_000_000_000,
  tiff: 2_000_000_000,
  dng: 2_000_000_000,
}

/** Scans times pixels: a progressive photo of 200 megapixels has about 10 scans. Four thousand million take three seconds. */
const mostPassed = 4_000_000_000

/** @throws Refusal photo/too-large, photo/harmful */
export async function lookForHarm(path: string, format: PhotoFormat): Promise<void> {
  const file = await open(path, 'r')
  try {
    const bytes = await bytesOf(file)
    if (bytes.size > mostBytes[format]) throw refusals.fileTooLarge(mostBytes[format])
    if (format === 'jpeg') await lookAtJpeg(bytes)
    if (format === 'png' && !(await textsAreBearable(bytes))) throw refusals.harmful()
  } finally {
    await file.close()
  }
}

/** For a JPEG inside of another file. @throws Refusal photo/harmful */
export const lookForHarmIn = (jpeg: Uint8Array): Promise<void> => lookAtJpeg(bytesInMemory(jpeg))

async function lookAtJpeg(bytes: Bytes): Promise<void> {
  const { pixels, scans } = await passesOf(bytes)
  if (pixels * scans > mostPassed) throw refusals.harmful()
}

/** Pictures that a decoder must hold as a whole take at most about so much. */
const mostWholeBytes = 640_000_000
/** An AV1 decoder and the turning of its planes into RGB take about 18 bytes for each pixel: a gigabyte and a bit. */
const mostAvifPixels = 64_000_000

/**
 * Whether a picture can be decoded in bearable memory: interlaced, progressive and turned ones are held whole (a JPEG is
 * made smaller before it is turned).
 * @throws Refusal photo/too-large
 */
export function mustBeBearable(format: PhotoFormat, metadata: Metadata): void {
  const { width, height, channels, depth, isProgressive, orientation } = metadata
  const pixels = width * height
  if (format === 'avif' && pixels > mostAvifPixels) throw refusals.tooLargeWhole()
  const isJpeg = format === 'jpeg' || format === 'dng'
  // a progressive JPEG keeps two bytes for each number until its last scan
  const bytes = pixels * channels * (depth === 'ushort' || isJpeg ? 2 : 1)
  const isHeld = isProgressive || format === 'webp' || (!isJpeg && (orientation ?? 1) > 1)
  if (isHeld && bytes > mostWholeBytes) throw refusals.tooLargeWhole()
}
