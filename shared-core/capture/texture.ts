import type { DecodeTables } from '../colour/profile.ts'
import type { Shape } from '../records/area.ts'
import type { Texture } from '../records/reading.ts'
import { outlineOf } from './geometry.ts'
import { layTiles, tilePixels } from './grain/lay-tiles.ts'
import { type BandNoise, grainOf, type Tile } from './grain/tile.ts'
import type { Pixels } from './pixels.ts'
import { quantile } from './statistics.ts'

/** A normal eye tells one minute of arc; at arm's length (500 mm) that is so wide. */
const eyeMm = (500 * Math.PI) / (180 * 60)
/** Full width at half height of a Gaussian against its standard deviation. */
const widthOverSigma = 2 * Math.sqrt(2 * Math.log(2))
/** What is as even over this length is light falling off or mottle of the film, not grain. */
const tileMm = 6
/** Finer pixels are averaged down to about this before anything is measured: the eye cannot tell them. */
const finestMm = 0.05
/** Coarser pixels do not show the grain of a paint at all. */
const coarsestMm = 0.5
/** Where the scale is not known, the shorter side of the area is taken for this long (common size, no source). */
const usualSideMm = 100
const assumedCoarsestMm = 0.25
const leastTile = 12
/** Tiles this much brighter or darker than the middle one are glare and shadow. */
const tileTolerance = 0.25
/** Grain that is this much or less of the noise it was found in is told as none. */
const surelySeen = 0.3
/** Variance that is nothing but the rounding of sums. */
const roundingLeft = 1e-9

/**
 * Coarseness, size of grain and glints of an area, from the photo's own statistics.
 * Method: square tiles spread over the area; in each the light relative to a smooth surface through it, blurred as the eye
 * at arm's length blurs it; its spread is the coarseness, once what the camera adds is taken out as variance. Glints are
 * local maxima far out of that spread. Size is where the light's autocorrelation has fallen to a half, told as the
 * diameter of discs strewn at random which have the same. It is our own statistic: neither the graininess nor the sparkle
 * of an instrument, and comparable only among photos.
 * @param mmPerPixel  null where the scale is not known: lengths are then relative to the area, and grain and glints null
 * @param noise       of a smooth thing in the same photo, such as the card; otherwise the finest detail is taken for noise
 * @returns           null when the area is too small, or its pixels too coarse to show grain
 */
export function textureOf(
  pixels: Pixels,
  tables: DecodeTables,
  shape: Shape,
  mmPerPixel: number | null,
  noise: BandNoise | null = null,
): Texture | null {
  const scale = scaleOf(shape, mmPerPixel)
  const tiles = scale && tilesOf(pixels, tables, shape, scale)
  if (!tiles) return null
  const { coarseness, grainPixels, glints, glintContrast, pixelCount } = combine(tiles, noise)
  const areaCm2 = (pixelCount * scale.mm ** 2) / 100
  return {
    coarsenessPercent: 100 * coarseness,
    grainMm: mmPerPixel === null || grainPixels === null ? null : grainPixels * scale.mm,
    glintsPerCm2: mmPerPixel === null ? null : glints / areaCm2,
    glintContrast,
  }
}

/** What camera and file add to a smooth thing, such as the card, to be taken out of areas in the same photo. */
export function noiseOf(
  pixels: Pixels,
  tables: DecodeTables,
  shape: Shape,
  mmPerPixel: number | null,
): BandNoise | null {
  const scale = scaleOf(shape, mmPerPixel)
  const tiles = scale && tilesOf(pixels, tables, shape, scale)
  if (!tiles) return null
  const of = (pick: (tile: Tile) => number) => quantile(tiles.map(pick), 0.5)
  return { band: of((t) => t.band), fine: of((t) => t.whole), light: of((t) => t.light) }
}

type Scale = { mm: number; bin: number; side: number; eyeSigma: number }

function scaleOf(shape: Shape, mmPerPixel: number | null): Scale | null {
  const outline = outlineOf(shape)
  const across = Math.min(
    ...outline.map(([x, y], i) => Math.hypot(outline[(i + 1) % 4]![0] - x, outline[(i + 1) % 4]![1] - y)),
  )
  const perPixel = mmPerPixel ?? Math.min(assumedCoarsestMm, usualSideMm / across)
  if (!(perPixel > 0) || perPixel > coarsestMm) return null
  const bin = Math.max(1, Math.floor(finestMm / perPixel))
  const mm = perPixel * bin
  const side = Math.min(Math.round(tileMm / mm), Math.floor(across / (3 * bin)))
  if (side < leastTile) return null
  // a pixel is itself a blur, a square's standard deviation wide
  const eyeSigma = Math.sqrt(Math.max(0, (eyeMm / widthOverSigma / mm) ** 2 - 1 / 12))
  return { mm, bin, side, eyeSigma }
}

function tilesOf(pixels: Pixels, tables: DecodeTables, shape: Shape, { bin, side, eyeSigma }: Scale): Tile[] | null {
  const corners = layTiles(pixels, shape, side * bin, Math.floor(tilePixels / (side * bin) ** 2))
  const tiles = corners.flatMap((corner) => grainOf(pixels, tables, corner, { bin, side, eyeSigma }) ?? [])
  if (tiles.length === 0) return null
  const middle = quantile(
    tiles.map(({ light }) => light),
    0.5,
  )
  return tiles.filter(({ light }) => Math.abs(light - middle) <= tileTolerance * middle)
}

function combine(tiles: Tile[], noise: BandNoise | null) {
  const of = (pick: (tile: Tile) => number) => quantile(tiles.map(pick), 0.5)
  const found = of((t) => t.band)
  const light = of((t) => t.light)
  // shot noise: its variance relative to the light falls as the light rises
  const cameras = noise ? (noise.band * noise.light) / Math.max(light, 1e-6) : of((t) => t.cameraBand)
  const left = found - cameras
  const seen = left > surelySeen * cameras + roundingLeft
  const sum = (pick: (tile: Tile) => number) => tiles.reduce((total, tile) => total + pick(tile), 0)
  const glints = sum((t) => t.glints.length)
  return {
    coarseness: seen ? Math.sqrt(left) : 0,
    grainPixels: seen ? grainSize(tiles, noise ? (noise.fine * noise.light) / light : of((t) => t.cameraWhole)) : null,
    glints,
    glintContrast:
      glints === 0
        ? 0
        : quantile(
            tiles.flatMap((t) => t.glints),
            0.5,
          ),
    pixelCount: sum((t) => t.pixelCount),
  }
}

/** Two discs of diameter 1 overlap by half when their middles are this far apart. */
const halfOverlap = 0.404
/** A lens at its best and the pixel's own square blur by about a pixel: grain is at least as wide in a photo. */
const photosOwn = 1.2
const leastGrain = 0.5

/** Pixels; null where the grain is finer than the pixels. */
function grainSize(tiles: Tile[], cameras: number): number | null {
  const lags = tiles[0]!.alike.length
  const alike = Array.from({ length: lags }, (_, lag) =>
    quantile(
      tiles.map((t) => t.alike[lag]!),
      0.5,
    ),
  )
  const whole = Math.max(alike[0]! - cameras, alike[1]!)
  let before = whole
  for (let lag = 1; lag < lags; lag++) {
    const here = alike[lag]!
    if (here < whole / 2) {
      const half = lag - 1 + (before - whole / 2) / Math.max(before - here, 1e-12)
      const size = Math.sqrt(Math.max(0, (half / halfOverlap) ** 2 - photosOwn ** 2))
      return size < leastGrain ? null : size
    }
    before = here
  }
  return null
}
