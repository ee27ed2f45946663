import { type DecodeTables, decodeTable, type RgbProfile } from '../colour/profile.ts'
import type { Point, Quad } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { type Channel, colourDrift, type Drift } from './colour-drift.ts'
import { homographyBetween, isConvex, mapPoint, pointInQuad, shrinkQuad, unitSquare } from './geometry.ts'
import { edge, gridOf } from './grid.ts'
import type { Pixels, Triple } from './pixels.ts'
import { edgeWidth } from './sharpness.ts'
import { type TonalRange, tonalRangeOf } from './tonal-range.ts'
import { words } from './words.ts'

/** Less of the surroundings than this many blocks of 28 × 28 says nothing sure about the light. */
const leastBlocks = 300
/** Natural logarithm of a channel ratio over one photo width: about 3 dE00 between card and panel. */
const mixedDrift = 0.05
/**
 * Surroundings that scatter more are no even sheet or bench top, and cannot tell; unless the drift is so strong that it
 * explains nearly all of it (a straight line does not follow the bend where two lights meet).
 */
const evenScatter = 0.01
const explained = 0.1
/** A second surface beside the first makes a step, which scatters by half of the slope laid through it; light does not. */
const ofStep = 0.4
const leastFollowing = 0.85
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
  /** Further blocks with one channel at the file's limit, which tell of the other two. */
  limited: { middle: Point; mean: Triple; out: Channel }[]
  range: TonalRange
  /** Share of the photo where two or three channels are at the file's limit. */
  white: number
}

/** A block with more of its pixels at the limit is not what its mean says. */
const mostClipped = 0.02
const darkest = 0.01

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
  const cells = (grid?.cells ?? []).filter((cell) => cell !== null)
  const survey: Survey = {
    tables,
    edgeWidth: edgeWidth(pixels),
    blocks: [],
    limited: [],
    range: tonalRangeOf(pixels, tables),
    white: 0,
  }
  for (const { u, v, mean, clipped, clippedTwice } of cells) {
    if (clippedTwice > 0.5) survey.white += 1 / cells.length
    if (Math.min(...mean) < darkest || clippedTwice > mostClipped) continue
    const middle = mapPoint(toPhoto, [u, v])
    if (clipped <= mostClipped) survey.blocks.push({ middle, mean })
    // of one channel alone at the limit: the strongest
    else survey.limited.push({ middle, mean, out: mean.indexOf(Math.max(...mean)) as Channel })
  }
  return survey
}

/** What the whole photo says: is it sharp, and is its light of one colour? Few false alarms before many finds. */
export function cautionsOfPhoto(pixels: Pixels, survey: Survey, outlines: Quad[]): Caution[] {
  const cautions: Caution[] = []
  const width = survey.edgeWidth
  if (width !== null && width > Math.max(blurredPixels, blurredShare * Math.max(pixels.width, pixels.height))) {
    cautions.push(words.blurred)
  }
  const around = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.2))
  const spots = [...survey.blocks, ...survey.limited].flatMap(({ middle, ...block }) =>
    around.some((quad) => pointInQuad(middle, quad))
      ? []
      : [{ ...block, x: middle[0] / pixels.width, y: middle[1] / pixels.width }],
  )
  const drift = colourDrift(spots, leastBlocks)
  if (drift && isSecondLight(drift)) cautions.push(words.mixedLight)
  return cautions
}

const isSecondLight = ({ perWidth, scatter, scatterByPlace, following }: Drift): boolean =>
  perWidth > mixedDrift &&
  scatter < Math.max(evenScatter, explained * perWidth) &&
  scatterByPlace < ofStep * perWidth &&
  following > leastFollowing
