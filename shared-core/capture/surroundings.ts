import { type DecodeTables, decodeTable, type RgbProfile } from '../colour/profile.ts'
import type { Point, Quad } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { colourDrift } from './colour-drift.ts'
import { homographyBetween, isConvex, mapPoint, pointInQuad, shrinkQuad, unitSquare } from './geometry.ts'
import { edge, gridOf } from './grid.ts'
import type { Pixels, Triple } from './pixels.ts'
import { edgeWidth } from './sharpness.ts'
import { words } from './words.ts'

/** Less of the surroundings than this many blocks of 28 × 28 says nothing sure about the light. */
const leastBlocks = 300
/** Natural logarithm of a channel ratio over one photo width: about 3 dE00 between card and panel. */
const mixedDrift = 0.05
/** Surroundings that scatter more are no even sheet or bench top, and cannot tell. */
const evenScatter = 0.01
/** A sharp edge spreads over two or three pixels; large photos are rarely that sharp at full size. */
const blurredPixels = 6
const blurredShare = 0.004

/** A photo's blocks are averaged over at most this many pixels in all: some hundred for each. */
const surveySamples = 500_000

/** What a photo shows as a whole, whatever is marked on it. */
export type Survey = {
  tables: DecodeTables
  /** See `edgeWidth`. */
  edgeWidth: number | null
  /** Blocks of the photo whose numbers can be trusted: middle in pixels, mean in linear light. */
  blocks: { middle: Point; mean: Triple }[]
}

/** Looks over a photo once; marking and marking again asks for nothing more of it than this. */
export function surveyOf(pixels: Pixels, profile: RgbProfile): Survey {
  const tables = decodeTable(profile, pixels.bits)
  const photo: Quad = [
    [0, 0],
    [pixels.width, 0],
    [pixels.width, pixels.height],
    [0, pixels.height],
  ]
  const grid = gridOf(pixels, tables, { kind: 'quad', quad: photo }, surveySamples)
  const toPhoto = homographyBetween(unitSquare, shrinkQuad(photo, edge))
  const blocks = (grid?.cells ?? []).flatMap((cell) => {
    if (!cell || cell.clipped > 0.02 || Math.min(...cell.mean) < 0.01) return []
    return [{ middle: mapPoint(toPhoto, [cell.u, cell.v]), mean: cell.mean }]
  })
  return { tables, edgeWidth: edgeWidth(pixels), blocks }
}

/** What the whole photo says: is it sharp, and is its light of one colour? Few false alarms before many finds. */
export function cautionsOfPhoto(pixels: Pixels, survey: Survey, outlines: Quad[]): Caution[] {
  const cautions: Caution[] = []
  const width = survey.edgeWidth
  if (width !== null && width > Math.max(blurredPixels, blurredShare * Math.max(pixels.width, pixels.height))) {
    cautions.push(words.blurred)
  }
  const around = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.2))
  const spots = survey.blocks.flatMap(({ middle, mean }) =>
    around.some((quad) => pointInQuad(middle, quad))
      ? []
      : [{ x: middle[0] / pixels.width, y: middle[1] / pixels.width, mean }],
  )
  const drift = colourDrift(spots, leastBlocks)
  if (drift && drift.perWidth > mixedDrift && drift.scatter < evenScatter && drift.following > 0.9) {
    cautions.push(words.mixedLight)
  }
  return cautions
}
