import type { PixelBox } from '../../../shared-core/capture/geometry.ts'
import {
  ask,
  askIfThere,
  bytesOf,
  check,
  HeifError,
  idsOf,
  lib,
  named,
  textAt,
  withMainPicture,
  word,
} from './library.ts'
import type { CodePoints, HeifAnswer, HeifDescription, HeifPixels, HeifTask } from './task.ts'

/**
 * Does one task on one file. Runs in a worker: decoding keeps a thread busy for a second and more.
 * The file's own turns and mirrors (irot, imir, clap) are applied by libheif; EXIF's orientation says the same again and
 * is not. Chroma kept at half the size comes back up as libheif does it.
 * Source: ISO/IEC 23008-12 (HEIF) clauses 6.5 (properties) and 6.6 (grids).
 */
export function performHeif(task: HeifTask): HeifAnswer {
  try {
    return withMainPicture(task.path, (handle, context): HeifAnswer => {
      const [width, height] = [lib._heif_image_handle_get_width(handle), lib._heif_image_handle_get_height(handle)]
      if (!(width > 0 && height > 0)) throw new HeifError('damaged', 'no size')
      if (width * height > task.mostPixels) throw new HeifError('too-large', `${width} × ${height}`)
      switch (task.what) {
        case 'describe':
          return { ok: true, what: 'describe', description: describe(handle, context, width, height) }
        case 'check':
          lib._heif_image_release(decodedAsIs(handle))
          return { ok: true, what: 'check' }
        case 'decode':
          return { ok: true, what: 'decode', pixels: decode(handle, task.box, task.eightBits) }
      }
    })
  } catch (error) {
    if (error instanceof HeifError) return { ok: false, fault: error.fault, text: error.message }
    // the library's memory has an end, and says so by a trap
    const text = error instanceof Error ? error.message : String(error)
    return { ok: false, fault: /memory|OOM|allocation/i.test(text) ? 'too-large' : 'damaged', text }
  }
}

function describe(handle: number, context: number, width: number, height: number): HeifDescription {
  const icc = iccOf(handle)
  return {
    width,
    height,
    bits: bitsOf(handle),
    isGrey: isGrey(handle),
    icc,
    codePoints: icc ? null : codePointsOf(handle),
    exif: exifOf(handle),
    hasGainMap: hasGainMap(handle, context),
  }
}

const bitsOf = (handle: number): number =>
  Math.max(
    lib._heif_image_handle_get_luma_bits_per_pixel(handle),
    lib._heif_image_handle_get_chroma_bits_per_pixel(handle),
  )

function isGrey(handle: number): boolean {
  const space = askIfThere((error, answer) =>
    lib._heif_image_handle_get_preferred_decoding_colorspace(error, handle, answer, answer + 4),
  )
  return space === named.monochrome
}

function iccOf(handle: number): Uint8Array | null {
  const size = lib._heif_image_handle_get_raw_color_profile_size(handle)
  if (size <= 0) return null
  return bytesOf(size, (at) => check((error) => lib._heif_image_handle_get_raw_color_profile(error, handle, at)))
}

/**
 * Those of the file's colour box. Those that only the coded picture has are not told by the decoder; such a file counts as
 * untagged. `heif_color_profile_nclx`: a version in one byte, then primaries and transfer as 32-bit numbers.
 */
function codePointsOf(handle: number): CodePoints | null {
  const at = askIfThere((error, answer) => lib._heif_image_handle_get_nclx_color_profile(error, handle, answer))
  if (at === null || at === 0) return null
  const found = { primaries: word(at + 4), transfer: word(at + 8) }
  lib._heif_nclx_color_profile_free(at)
  return found
}

/** EXIF's item begins with the distance to its TIFF structure. Source: ISO/IEC 23008-12 annex A.2.1. */
function exifOf(handle: number): Uint8Array | null {
  const typeAt = lib._malloc(8)
  lib.HEAPU8.set(new TextEncoder().encode('Exif\0'), typeAt)
  try {
    const count = lib._heif_image_handle_get_number_of_metadata_blocks(handle, typeAt)
    const [id] = idsOf(Math.min(count, 1), (at, wanted) =>
      lib._heif_image_handle_get_list_of_metadata_block_IDs(handle, typeAt, at, wanted),
    )
    if (id === undefined) return null
    const size = lib._heif_image_handle_get_metadata_size(handle, id)
    if (size < 12 || size > 10_000_000) return null
    const block = bytesOf(size, (at) => check((error) => lib._heif_image_handle_get_metadata(error, handle, id, at)))
    const start = 4 + new DataView(block.buffer, block.byteOffset).getUint32(0)
    return start < block.length ? block.slice(start) : null
  } catch (error) {
    // a photo without readable EXIF is still a photo
    if (error instanceof HeifError) return null
    throw error
  } finally {
    lib._free(typeAt)
  }
}

/**
 * A brighter rendering for HDR screens kept beside the picture: as an item derived from both (`tmap`, ISO 21496-1), or
 * as an auxiliary picture that is named so.
 */
function hasGainMap(handle: number, context: number): boolean {
  const items = idsOf(lib._heif_context_get_number_of_items(context), (at, wanted) =>
    lib._heif_context_get_list_of_item_IDs(context, at, wanted),
  )
  if (items.some((item) => lib._heif_item_get_item_type(context, item) === fourcc('tmap'))) return true
  const others = idsOf(lib._heif_image_handle_get_number_of_auxiliary_images(handle, 0), (at, wanted) =>
    lib._heif_image_handle_get_list_of_auxiliary_image_IDs(handle, 0, at, wanted),
  )
  return others.some((id) => /gain_?map/i.test(auxiliaryType(handle, id)))
}

const fourcc = (name: string) => Array.from(name).reduce((sum, letter) => sum * 256 + letter.charCodeAt(0), 0)

function auxiliaryType(handle: number, id: number): string {
  const other = askIfThere((error, answer) =>
    lib._heif_image_handle_get_auxiliary_image_handle(error, handle, id, answer),
  )
  if (other === null) return ''
  const text = askIfThere((error, answer) => lib._heif_image_handle_get_auxiliary_type(error, other, answer))
  const type = text === null ? '' : textAt(text)
  lib._heif_image_handle_release(other)
  return type
}

const decodedImage = (handle: number, space: number, chroma: number): number =>
  ask((error, answer) => lib._heif_decode_image(error, handle, answer, space, chroma, 0))

/** In the planes that the file has: nothing is converted. */
const decodedAsIs = (handle: number) => decodedImage(handle, named.asIs, named.asIs)

const chromaOf = (handle: number, eightBits: boolean) =>
  bitsOf(handle) > 8 && !eightBits ? named.interleavedDeep : named.interleaved

function decode(handle: number, box: PixelBox | null, eightBits: boolean): HeifPixels {
  const chroma = chromaOf(handle, eightBits)
  const image = decodedImage(handle, named.rgb, chroma)
  try {
    const channel = named.interleavedChannel
    const { at: plane, stride } = planeOf(image, channel)
    const size = {
      width: lib._heif_image_get_width(image, channel),
      height: lib._heif_image_get_height(image, channel),
    }
    const part = box ?? { left: 0, top: 0, ...size }
    if (plane === 0 || part.left + part.width > size.width || part.top + part.height > size.height)
      throw new HeifError('damaged', 'smaller than it says')
    const isDeep = chroma === named.interleavedDeep
    const bits = lib._heif_image_get_bits_per_pixel_range(image, channel)
    const data = isDeep ? deepRows(plane, stride, part, bits) : rows(plane, stride, part)
    return { width: part.width, height: part.height, data }
  } finally {
    lib._heif_image_release(image)
  }
}

function planeOf(image: number, channel: number): { at: number; stride: number } {
  const strideAt = lib._malloc(8)
  const at = lib._heif_image_get_plane_readonly(image, channel, strideAt)
  const stride = word(strideAt)
  lib._free(strideAt)
  return { at, stride }
}

function rows(plane: number, stride: number, part: PixelBox): Uint8Array {
  const data = new Uint8Array(part.width * part.height * 3)
  for (let y = 0; y < part.height; y++) {
    const from = plane + (part.top + y) * stride + part.left * 3
    data.set(lib.HEAPU8.subarray(from, from + part.width * 3), y * part.width * 3)
  }
  return data
}

/** Full scale becomes full scale: 1023 of 10 bits is 65,535. */
function deepRows(plane: number, stride: number, part: PixelBox, bits: number): Uint16Array {
  const top = 2 ** bits - 1
  const wide = Uint16Array.from({ length: 65_536 }, (_, v) => Math.round((Math.min(v, top) * 65_535) / top))
  const data = new Uint16Array(part.width * part.height * 3)
  for (let y = 0; y < part.height; y++) {
    const from = plane + (part.top + y) * stride + part.left * 6
    const row = new Uint16Array(lib.HEAPU8.buffer, from, part.width * 3)
    for (let i = 0; i < row.length; i++) data[y * row.length + i] = wide[row[i] ?? 0] ?? 0
  }
  return data
}
