import exifr from 'exifr'
import type { Exposure } from '../../shared-core/records/exposure.ts'

// exifr is CommonJS in Node: only its default export can be imported
// oxlint-disable-next-line import/no-named-as-default-member
const { parse } = exifr

export const noExposure: Exposure = {
  takenAt: null,
  camera: null,
  exposureS: null,
  fNumber: null,
  iso: null,
  whiteBalance: null,
  focalLengthMm: null,
}

const wanted = [
  'DateTimeOriginal',
  'OffsetTimeOriginal',
  'CreateDate',
  'ModifyDate',
  'Make',
  'Model',
  'ExposureTime',
  'FNumber',
  'ISO',
  'WhiteBalance',
  'FocalLength',
]

/**
 * What EXIF says about how a photo was taken. Broken EXIF is no reason to refuse a photo: it then says nothing.
 * @param exif  the block as sharp gives it, with or without its `Exif\0\0` head; or the path of a file that is built like
 *   one (DNG)
 */
export async function exposureOf(exif: Uint8Array | string | undefined): Promise<Exposure> {
  if (!exif) return noExposure
  let tags: Record<string, unknown> | undefined
  try {
    tags = await parse(typeof exif === 'string' ? exif : blockOf(exif), { pick: wanted, reviveValues: false })
  } catch {
    return noExposure
  }
  if (!tags) return noExposure
  const { Make: make, Model: model } = tags
  return {
    takenAt: takenAt(tags.DateTimeOriginal ?? tags.CreateDate ?? tags.ModifyDate, tags.OffsetTimeOriginal),
    camera: cameraName(text(make), text(model)),
    exposureS: positive(tags.ExposureTime),
    fNumber: positive(tags.FNumber),
    iso: positive(tags.ISO),
    whiteBalance: whiteBalance(tags.WhiteBalance),
    focalLengthMm: positive(tags.FocalLength),
  }
}

/** A JPEG's block is at most 64 KB long; what a larger one says beyond this is not read. */
const mostBytes = 1_000_000

function blockOf(exif: Uint8Array): Uint8Array {
  const hasHead = String.fromCharCode(...exif.subarray(0, 6)) === 'Exif\0\0'
  return exif.subarray(hasHead ? 6 : 0, mostBytes)
}

/** EXIF writes `2024:05:31 14:02:10`, local time; ISO 8601 keeps it local unless the offset is known. */
function takenAt(time: unknown, offset: unknown): string | null {
  const found = typeof time === 'string' ? /^(\d{4}):(\d\d):(\d\d)[ T](\d\d):(\d\d):(\d\d)/.exec(time) : null
  if (!found || found[1] === '0000') return null
  const zone = typeof offset === 'string' && /^[+-]\d\d:\d\d$/.test(offset) ? offset : ''
  const iso = `${found[1]}-${found[2]}-${found[3]}T${found[4]}:${found[5]}:${found[6]}${zone}`
  return Number.isNaN(Date.parse(iso)) ? null : iso
}

/** EXIF 2.32, tag WhiteBalance: 0 auto, 1 manual; exifr puts words in their place. */
function whiteBalance(value: unknown): Exposure['whiteBalance'] {
  if (value === 0 || /^auto/i.test(String(value))) return 'auto'
  return value === 1 || /^manual/i.test(String(value)) ? 'manual' : null
}

/** Make and model, the make not said twice. */
function cameraName(make: string, model: string): string | null {
  if (!model) return make || null
  return make && !model.toLowerCase().startsWith(make.toLowerCase()) ? `${make} ${model}` : model
}

/** Strings from a file go on screen: no control characters, no endless ones. */
const text = (value: unknown) => (typeof value === 'string' ? value.replace(/\p{C}/gu, '').trim().slice(0, 80) : '')

const positive = (value: unknown): number | null =>
  typeof value === 'number' && Number.isFinite(value) && value > 0 ? value : null
