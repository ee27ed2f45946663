import type { Sharp } from 'sharp'
import { type Facts, factsOf } from './inspect.ts'
import { openMade } from './open.ts'
import { openPicture } from './open-picture.ts'
import { tagWebp } from './profile/webp-profile.ts'
import { refusalOf } from './refusals.ts'
import { release } from './release.ts'
import { writePicture } from './write-picture.ts'

/** Pixels along the longer side. */
export const renditionSides = { thumb: 320, view: 1600, full: 4096 } as const
export type RenditionSize = keyof typeof renditionSides

/**
 * Sharp edges between a panel and its surroundings show rings at lower quality. More effort than 1 (of 6) takes three times
 * as long for files a twentieth smaller.
 */
const webp = { quality: 88, effort: 1 } as const

/**
 * Writes a smaller picture of a photo for the screen, upright, WebP, in the photo's own profile. Never enlarged.
 * The file appears whole or not at all.
 * @throws Refusal when the photo cannot be read
 */
export async function makeRendition(path: string, size: RenditionSize, outPath: string): Promise<void> {
  const facts = await factsOf(path)
  const bytes = tagged(await encodedWithin(path, facts, renditionSides[size]), facts)
  await writePicture(bytes, outPath)
  release(bytes)
}

/** What the tray and a photo's page show, as files' bytes. */
export type SmallPictures = { thumb: Uint8Array; view: Uint8Array }

/**
 * Decodes a photo once for all that is made of it as it comes in; the thumbnail is made from the larger picture. Every code of
 * the file is read, so a cut or broken one is found.
 * @param facts   what `factsOf` said of it
 * @param signal  stops the decoding of a HEIC
 * @throws Refusal as `inspectPhoto`; or the signal's reason
 */
export async function smallPictures(path: string, facts: Facts, signal?: AbortSignal): Promise<SmallPictures> {
  const view = await encodedWithin(path, facts, renditionSides.view, signal)
  // from the larger picture's file: as numbers it would be twenty times as large, and thousands follow upon each other
  const thumb = await within(openMade(view.data, { ignoreIcc: true }), renditionSides.thumb)
  return { thumb: tagged(thumb, facts), view: tagged(view, facts) }
}

type Encoded = { data: Buffer; info: { width: number; height: number } }

async function encodedWithin(path: string, facts: Facts, side: number, signal?: AbortSignal): Promise<Encoded> {
  try {
    return await within((await openPicture(path, facts, signal)).removeAlpha(), side)
  } catch (error) {
    throw signal?.aborted ? signal.reason : refusalOf(error)
  }
}

/** A JPEG is made smaller while it is decoded, which averages its own blocks: faster, and no less exact. */
const within = (picture: Sharp, side: number): Promise<Encoded> =>
  picture
    .resize({ width: side, height: side, fit: 'inside', withoutEnlargement: true })
    .webp(webp)
    .toBuffer({ resolveWithObject: true })

/** The numbers stay as they are: only their profile is written beside them. */
function tagged({ data, info }: Encoded, { icc }: Facts): Uint8Array {
  if (!icc) return data
  const bytes = tagWebp(data, icc, info.width, info.height)
  release(data)
  return bytes
}
