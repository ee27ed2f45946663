import { setImmediate } from 'node:timers/promises'
import { correctArea, correctedQuad } from '../../shared-core/capture/correct.ts'
import { boxAround, isConvex } from '../../shared-core/capture/geometry.ts'
import { learnLayout } from '../../shared-core/capture/learn-layout.ts'
import { readLayout } from '../../shared-core/capture/read-layout.ts'
import type { AreaResult } from '../../shared-core/contract/photo-calls.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import type { ScreenSpace } from '../../shared-core/records/side.ts'
import { blankSheet } from './blank-sheet.ts'
import { screenProfile } from './encode.ts'
import { sharp } from './open.ts'
import { tagWebp } from './profile/webp-profile.ts'
import { inPart, photoFor, type ReadOptions, usualWhole } from './read.ts'

/** A picture with its correction laid on it, and what is to be said of it. */
export type Corrected = {
  /** WebP with its profile. */
  webp: Uint8Array
  widthPx: number
  heightPx: number
  mean: { l: number; a: number; b: number }
  outside: number
}

/**
 * Reads one area of a photo on disk again and lays the correction of that reading on each of its pixels.
 * @param at  which of the layout's areas
 * @returns   what the area reads, and its picture; no picture where it cannot be read
 * @throws Refusal when the file cannot be read at all
 */
export async function correctedCut(
  path: string,
  layout: Layout,
  at: number,
  space: ScreenSpace,
  {
    tone = 'unknown',
    setup = null,
    flat = null,
    knownSheet = null,
    sheetFromOtherLight = false,
    exposure = null,
    wholePhoto = usualWhole,
  }: ReadOptions = {},
): Promise<{ result: AreaResult; corrected: Corrected | null }> {
  const sheet = flat === null ? null : await blankSheet(flat)
  const { pixels, profile, survey, part } = await photoFor(path, layout, sheet ? Number.POSITIVE_INFINITY : wholePhoto)
  const marked = inPart(layout, part)
  const shape = marked.areas[at]?.shape
  const options = { tone, survey, setup, flat: sheet, knownSheet, sheetFromOtherLight }
  const result = readLayout(pixels, profile, marked, { ...options, exposure }).results[at]
  if (!shape || !result) throw new RangeError('The layout has no such area.')
  const quad = correctedQuad(shape)
  if (!result.colour || !isConvex(quad) || !boxAround(quad, 0, pixels)) return { result, corrected: null }
  const learned = learnLayout(pixels, profile, marked, options)
  const { width, height, rgb, mean, outside } = await inTurns(correctArea(pixels, profile, shape, learned, space))
  // grain is fine detail of colour: chroma at half the size would smear it
  const bytes = await sharp(rgb, { raw: { width, height, channels: 3 } })
    .webp({ quality: 95, smartSubsample: true, effort: 2 })
    .toBuffer()
  const webp = tagWebp(bytes, await screenProfile(space), width, height)
  return { result, corrected: { webp, widthPx: width, heightPx: height, mean, outside } }
}

/** Calls are answered meanwhile: of a large area a picture takes a second or two. */
const turnMs = 12

async function inTurns<T>(work: Generator<undefined, T>): Promise<T> {
  let started = performance.now()
  for (;;) {
    const { done, value } = work.next()
    if (done) return value
    if (performance.now() - started < turnMs) continue
    await setImmediate()
    started = performance.now()
  }
}
