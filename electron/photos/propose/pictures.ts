import type { Pixels } from '../../../shared-core/capture/pixels.ts'
import type { RgbProfile } from '../../../shared-core/colour/profile.ts'
import { type Facts, factsOf } from '../inspect.ts'
import { sharp } from '../open.ts'
import { openPicture } from '../open-picture.ts'
import { refusalOf } from '../refusals.ts'
import { release } from '../release.ts'

/** What is looked at of one photo: one decoding serves both. */
export type Pictures = {
  facts: Facts
  profile: RgbProfile
  /** Upright, colours, 8 bits; its longer side has at most `smallSide` pixels. */
  small: Pixels
  /** Photo pixels to one of the small picture, and to one of the greys. */
  smallScale: number
  /** Every pixel that symbols are read from. */
  grey: { width: number; height: number; data: Uint8Array }
  greyScale: number
}

/** Corner marks of a sheet have cells of 1.6 mm: seven pixels where a page of A4 fills the picture. */
const smallSide = 1600
/** Larger photos are looked at in this many pixels along the longer side: 60 megapixels of 4 : 3. */
const mostSide = 9000

/** @throws Refusal as `inspectPhoto` does; or the signal's reason */
export async function picturesOf(path: string, signal?: AbortSignal): Promise<Pictures> {
  const facts = await factsOf(path, signal)
  const whole = await wholePicture(path, facts, signal)
  const { width, height, channels, data } = whole
  const raw = { raw: { width, height, channels }, limitInputPixels: false }
  // green is most of lightness, and a printed black is black in it
  const grey = await sharp(data, raw).extractChannel(1).raw().toBuffer()
  const picture = sharp(data, raw).resize({
    width: smallSide,
    height: smallSide,
    fit: 'inside',
    withoutEnlargement: true,
    // an average of the pixels that each new one covers
    kernel: 'linear',
  })
  const small = await picture.raw().toBuffer({ resolveWithObject: true })
  release(data)
  return {
    facts,
    profile: facts.file.profile,
    small: { width: small.info.width, height: small.info.height, channels: 3, bits: 8, data: small.data },
    smallScale: facts.width / small.info.width,
    grey: { width, height, data: grey },
    greyScale: facts.width / width,
  }
}

type Whole = { width: number; height: number; channels: 3; data: Buffer }

/** Three channels of 8 bits, upright, the file's own numbers. */
async function wholePicture(path: string, facts: Facts, signal?: AbortSignal): Promise<Whole> {
  try {
    let photo = (await openPicture(path, facts, signal)).removeAlpha()
    if (Math.max(facts.width, facts.height) > mostSide)
      photo = photo.resize({ width: mostSide, height: mostSide, fit: 'inside' })
    const { data, info } = await photo
      .toColourspace('srgb')
      .raw({ depth: 'uchar' })
      .toBuffer({ resolveWithObject: true })
    const { width, height } = info
    if (info.channels === 3) return { width, height, channels: 3, data }
    const three = await sharp(data, { raw: { width, height, channels: info.channels } })
      .toColourspace('srgb')
      .raw()
      .toBuffer({ resolveWithObject: true })
    return { width, height, channels: 3, data: tripled(three.data, three.info.channels) }
  } catch (error) {
    throw signal?.aborted ? signal.reason : refusalOf(error)
  }
}

function tripled(numbers: Buffer, channels: number): Buffer {
  if (channels === 3) return numbers
  const count = numbers.length / channels
  const three = Buffer.alloc(count * 3)
  for (let i = 0; i < count; i++) three.fill(numbers[i * channels]!, 3 * i, 3 * i + 3)
  return three
}
