import { randomUUID } from 'node:crypto'
import { rename, rm, writeFile } from 'node:fs/promises'
import { boxAround, isConvex, moveQuad, outlineOf, sidesOf } from '../../shared-core/capture/geometry.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { cutSize, warpQuad } from '../../shared-core/capture/warp.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Shape } from '../../shared-core/records/area.ts'
import { decodePhoto } from './decode.ts'
import { factsOf } from './inspect.ts'
import { sharp } from './open.ts'
import { openPicture } from './open-picture.ts'
import { tagWebp } from './profile/webp-profile.ts'
import { refusalOf } from './refusals.ts'

/** Pixels along the longer side. */
export const renditionSides = { thumb: 320, view: 1600, full: 4096 } as const
export type RenditionSize = keyof typeof renditionSides

const cutSide = 256
/** Sharp edges between a panel and its surroundings show rings at lower quality. */
const quality = 88

/**
 * Writes a smaller picture of a photo for the screen, upright, WebP, in the photo's own profile. Never enlarged.
 * The file appears whole or not at all.
 * @throws Refusal when the photo cannot be read
 */
export async function makeRendition(path: string, size: RenditionSize, outPath: string): Promise<void> {
  const side = renditionSides[size]
  const facts = await factsOf(path)
  const photo = await openPicture(path, facts)
  try {
    const { data, info } = await photo
      .removeAlpha()
      .resize({ width: side, height: side, fit: 'inside', withoutEnlargement: true })
      .webp({ quality })
      .toBuffer({ resolveWithObject: true })
    await writeWhole(facts.icc ? tagWebp(data, facts.icc, info.width, info.height) : data, outPath)
  } catch (error) {
    throw refusalOf(error)
  }
}

/**
 * Writes the cut-out of an area made rectangular: about 256 pixels on its longer side, in the proportions that it has in
 * the photo, WebP, with the photo's profile. A round area gives the square around it.
 * @throws Refusal when the photo cannot be read, or the shape has no inside
 */
export async function makeCut(path: string, shape: Shape, outPath: string): Promise<void> {
  const facts = await factsOf(path)
  const quad = outlineOf(shape)
  const box = boxAround(quad, 2, facts)
  if (!box || !isConvex(quad)) {
    throw new Refusal(
      'photo/bad-outline',
      'The outline of this area crosses itself, is flat as a line, or lies outside the photo.',
      'Drag its corners so that they run round the paint.',
    )
  }
  const { pixels } = await decodePhoto(path, box, facts)
  const { width, height } = cutSize(sidesOf(quad), cutSide)
  const moved = moveQuad(quad, -box.left, -box.top)
  const data = new Uint8Array(width * height * 3)
  warpQuad({ ...pixels, data: eightBits(pixels) }, moved, { width, height, channels: 3, data })
  const picture = sharp(data, { raw: { width, height, channels: 3 } }).webp({ quality: 92 })
  const webp = await picture.toBuffer()
  await writeWhole(facts.icc ? tagWebp(webp, facts.icc, width, height) : webp, outPath)
}

function eightBits({ data }: Pixels): Uint8Array {
  return data instanceof Uint16Array ? Uint8Array.from(data, (number) => Math.round(number / 257)) : data
}

/** A reader of `outPath` sees the old file or the new one, never half of one. Renditions can be made again: no fsync. */
async function writeWhole(bytes: Uint8Array, outPath: string): Promise<void> {
  const half = `${outPath}.${randomUUID()}.part`
  try {
    await writeFile(half, bytes)
    await rename(half, outPath)
  } catch (error) {
    await rm(half, { force: true })
    throw error
  }
}
