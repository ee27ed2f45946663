import { boxAround, isConvex, outlineOf, type PixelBox, sidesOf } from '../../shared-core/capture/geometry.ts'
import { cutSize, type Raster, warpQuad } from '../../shared-core/capture/warp.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Point, Quad, Shape } from '../../shared-core/records/area.ts'
import { type Facts, factsOf } from './inspect.ts'
import { openMade, sharp } from './open.ts'
import { openPicture } from './open-picture.ts'
import { tagWebp } from './profile/webp-profile.ts'
import { refusalOf } from './refusals.ts'
import { writePicture } from './write-picture.ts'

/** Pixels along the longer side: for small cards of the wall, for its other cards, and for looking closely. */
export const cutSides = { small: 128, usual: 256, large: 640 } as const
export type CutSize = keyof typeof cutSides
export type Cut = { shape: Shape; size: CutSize; outPath: string }

/** More effort than 2 (of 6) makes such small files no smaller. */
const webp = { quality: 92, effort: 2 } as const

const badOutline = () =>
  new Refusal(
    'photo/bad-outline',
    'The outline of this area crosses itself, is flat as a line, or lies outside the photo.',
    'Drag its corners so that they run round the paint.',
  )

/**
 * Writes the cut-out of an area made rectangular, in the proportions that it has in the photo, WebP, with the photo's
 * profile. A round area gives the square around it.
 * @throws Refusal when the photo cannot be read, or the shape has no inside
 */
export async function makeCut(path: string, shape: Shape, outPath: string, size: CutSize = 'usual'): Promise<void> {
  const { left } = await makeCuts(path, [{ shape, size, outPath }])
  if (left.length > 0) throw badOutline()
}

/**
 * As `makeCut`, for several areas of one photo, which is decoded once.
 * @returns  those left out because their shape has no inside
 */
export async function makeCuts(path: string, cuts: readonly Cut[]): Promise<{ left: Cut[] }> {
  const facts = await factsOf(path)
  const sound = cuts.filter(({ shape }) => {
    const quad = outlineOf(shape)
    return isConvex(quad) && boxAround(quad, 2, facts) !== null
  })
  const outlines = sound.map(({ shape }) => outlineOf(shape))
  const box = boxAround(outlines.flat(), 2, facts)
  if (box !== null && sound.length > 0) {
    const picture = await decodedPart(path, facts, box, shrinkFor(sound))
    for (const [i, cut] of sound.entries()) await writeCut(picture, outlines[i]!, cut, facts)
  }
  return { left: cuts.filter((cut) => !sound.includes(cut)) }
}

/** Writes a smaller cut-out from a larger one. @throws Refusal `photo/damaged` when the file there is no picture */
export async function shrinkCut(from: string, size: CutSize, outPath: string): Promise<void> {
  const side = cutSides[size]
  try {
    const { icc } = await openMade(from).metadata()
    const { data, info } = await openMade(from, { ignoreIcc: true })
      .resize({ width: side, height: side, fit: 'inside', withoutEnlargement: true })
      .webp(webp)
      .toBuffer({ resolveWithObject: true })
    await writePicture(icc ? tagWebp(data, icc, info.width, info.height) : data, outPath)
  } catch (error) {
    throw refusalOf(error)
  }
}

/** How many times smaller the photo may be before it is made rectangular: two of its pixels are left for one of each cut-out. */
function shrinkFor(cuts: readonly Cut[]): number {
  const times = cuts.map(({ shape, size }) => {
    const { width, height } = sidesOf(outlineOf(shape))
    return Math.max(width, height) / (2 * cutSides[size])
  })
  return Math.max(1, Math.floor(Math.min(...times)))
}

/** A part of the photo, smaller by a whole number, and where it lay. */
type Part = { raster: Raster<Uint8Array>; place: (point: Point) => Point }

async function decodedPart(path: string, facts: Facts, box: PixelBox, shrink: number): Promise<Part> {
  const width = Math.ceil(box.width / shrink)
  const height = Math.ceil(box.height / shrink)
  try {
    // turning quadrilaterals into rectangles is done on this thread: the less is left for it, the better
    const { data, info } = await (await openPicture(path, facts))
      .removeAlpha()
      .extract(box)
      .resize({ width, height, fit: 'fill' })
      .toColourspace('srgb')
      .raw({ depth: 'uchar' })
      .toBuffer({ resolveWithObject: true })
    const [x, y] = [info.width / box.width, info.height / box.height]
    return {
      raster: { width: info.width, height: info.height, channels: 3, data: threeChannels(data, info.channels) },
      place: ([px, py]) => [(px - box.left) * x, (py - box.top) * y],
    }
  } catch (error) {
    throw refusalOf(error)
  }
}

async function writeCut({ raster, place }: Part, quad: Quad, { size, outPath }: Cut, { icc }: Facts): Promise<void> {
  const { width, height } = cutSize(sidesOf(quad), cutSides[size])
  const data = new Uint8Array(width * height * 3)
  const [a, b, c, d] = quad
  warpQuad(raster, [place(a), place(b), place(c), place(d)], { width, height, channels: 3, data })
  const bytes = await sharp(data, { raw: { width, height, channels: 3 } })
    .webp(webp)
    .toBuffer()
  await writePicture(icc ? tagWebp(bytes, icc, width, height) : bytes, outPath)
}

function threeChannels(numbers: Uint8Array, channels: number): Uint8Array {
  if (channels === 3) return numbers
  const wide = new Uint8Array((numbers.length / channels) * 3)
  for (let i = 0; i < wide.length; i++) wide[i] = numbers[Math.floor(i / 3) * channels]!
  return wide
}
