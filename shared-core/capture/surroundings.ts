import type { DecodeTables } from '../colour/profile.ts'
import type { Quad } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { colourDrift } from './colour-drift.ts'
import { homographyBetween, isConvex, mapPoint, pointInQuad, shrinkQuad, unitSquare } from './geometry.ts'
import { gridOf } from './grid.ts'
import type { Pixels } from './pixels.ts'
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

/** What the whole photo says: is it sharp, and is its light of one colour? Few false alarms before many finds. */
export function cautionsOfPhoto(pixels: Pixels, tables: DecodeTables, outlines: Quad[]): Caution[] {
  const cautions: Caution[] = []
  const width = edgeWidth(pixels)
  if (width !== null && width > Math.max(blurredPixels, blurredShare * Math.max(pixels.width, pixels.height))) {
    cautions.push(words.blurred)
  }
  const drift = colourDrift(spotsAround(pixels, tables, outlines), leastBlocks)
  if (drift && drift.perWidth > mixedDrift && drift.scatter < evenScatter && drift.following > 0.9) {
    cautions.push(words.mixedLight)
  }
  return cautions
}

function spotsAround(pixels: Pixels, tables: DecodeTables, outlines: Quad[]) {
  const photo: Quad = [
    [0, 0],
    [pixels.width, 0],
    [pixels.width, pixels.height],
    [0, pixels.height],
  ]
  const grid = gridOf(pixels, tables, { kind: 'quad', quad: photo })
  const around = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.2))
  const toPhoto = homographyBetween(unitSquare, photo)
  return (grid?.cells ?? []).flatMap((cell) => {
    if (!cell || cell.clipped > 0.02 || Math.min(...cell.mean) < 0.01) return []
    const at = mapPoint(toPhoto, [cell.u, cell.v])
    if (around.some((quad) => pointInQuad(at, quad))) return []
    return [{ x: at[0] / pixels.width, y: at[1] / pixels.width, mean: cell.mean }]
  })
}
