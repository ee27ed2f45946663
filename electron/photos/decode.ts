import type { PixelBox } from '../../shared-core/capture/geometry.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import type { RgbProfile } from '../../shared-core/colour/profile.ts'
import { decodeHeif } from './heif/heif-file.ts'
import { type Facts, factsOf } from './inspect.ts'
import { openPicture } from './open-picture.ts'
import { refusalOf } from './refusals.ts'

export type Decoded = { pixels: Pixels; profile: RgbProfile }

/**
 * The file's own numbers, upright, and the profile they are in. Greys are written three times, transparency is dropped.
 * Not to be written to: the numbers may be kept for whoever asks next.
 * @param box  only this part of the upright photo; the whole when left out
 * @param known   what `factsOf` said, to look only once
 * @param signal  stops the decoding of a HEIC
 * @throws Refusal as `inspectPhoto` does; or the signal's reason
 */
export async function decodePhoto(path: string, box?: PixelBox, known?: Facts, signal?: AbortSignal): Promise<Decoded> {
  const facts = known ?? (await factsOf(path, signal))
  const { profile } = facts.file
  if (facts.format === 'heic') {
    const { width, height, data } = await decodeHeif(path, facts, { box: box ?? null, signal })
    return { pixels: { width, height, channels: 3, bits: facts.bits, data }, profile }
  }
  try {
    let photo = (await openPicture(path, facts)).removeAlpha()
    if (box) photo = photo.extract(box)
    // libvips knows greys of 16 bits by another name, and turning them into RGB repeats the number
    photo = facts.bits === 16 ? photo.toColourspace('rgb16') : photo.toColourspace('srgb')
    const { data, info } = await photo
      .raw({ depth: facts.bits === 16 ? 'ushort' : 'uchar' })
      .toBuffer({ resolveWithObject: true })
    const numbers = facts.bits === 16 ? wordsOf(data) : data
    const { width, height } = info
    const pixels: Pixels = { width, height, channels: 3, bits: facts.bits, data: threeChannels(numbers, info.channels) }
    return { pixels, profile }
  } catch (error) {
    throw refusalOf(error)
  }
}

/** Bytes as 16-bit numbers, copied when they do not start on an even address. */
function wordsOf(bytes: Uint8Array): Uint16Array {
  const even = bytes.byteOffset % 2 === 0 ? bytes : new Uint8Array(bytes)
  return new Uint16Array(even.buffer, even.byteOffset, even.byteLength / 2)
}

function threeChannels<A extends Uint8Array | Uint16Array>(numbers: A, channels: number): A {
  if (channels === 3) return numbers
  const count = numbers.length / channels
  const wide = (numbers instanceof Uint16Array ? new Uint16Array(count * 3) : new Uint8Array(count * 3)) as A
  for (let i = 0; i < count; i++) {
    for (let c = 0; c < 3; c++) wide[i * 3 + c] = numbers[i * channels + (channels < 3 ? 0 : c)]!
  }
  return wide
}
