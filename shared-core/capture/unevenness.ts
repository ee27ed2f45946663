import type { Quad, Shape } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { homographyBetween, isConvex, mapPoint, outlineOf, pointInQuad, shrinkQuad, unitSquare } from './geometry.ts'
import { edge, type Grid } from './grid.ts'
import { biweight, equationsOf, leastSquares, leftOver, scatterOf } from './least-squares.ts'
import type { Paint } from './paint.ts'
import type { Pixels, Triple } from './pixels.ts'
import { quantile } from './statistics.ts'
import type { Survey } from './surroundings.ts'
import { words } from './words.ts'

/** How brightness changes across an area, and whether the things around it change alike. */
export type Unevenness = {
  /** Relative change from the darkest side to the brightest: 0.1 is a tenth brighter. */
  change: number
  /** Degrees on screen in which it gets brighter: 0 is to the right, 90 down. */
  towardDeg: number
  /** What the light does over the same place, by the surroundings or the card; null where neither can tell. */
  lightChange: number | null
  /** `same`: the light alone makes it. `other`: the surroundings do not share it. `unknown`: nothing even lies around. */
  light: 'same' | 'other' | 'unknown'
  caution: Caution | null
}

/** Less than this from side to side passes for even on a sprayed panel: about 3 dE00 in lightness. */
const worthSaying = 0.15
/** Soft glare makes a slope too, but not in what is kept as paint; that slope is held back by a ridge, so ask for less. */
const worthInPaint = 0.1
/** Of the change, this much may be left when the light's is taken off. */
const shareLeft = 0.4
const leastLeft = 0.04
const leastCells = 25
const leastBlocks = 120
/** Surroundings that scatter more about a smooth surface (natural logarithm) are no even sheet or bench top. */
const evenScatter = 0.03
const evenFollowing = 0.7
const rounds = 10
const ridge = 1e-4

type Spot = { x: number; y: number; value: number }
/** Change of the logarithm of light per photo width. */
type Slope = { alongX: number; alongY: number; scatter: number; following: number; count: number; spread: number }

/**
 * The change of brightness across an area as one smooth slope, glare and dust left out, held against what the
 * surroundings do at the same place, or else the card.
 * @param grid      of `shape`, with the paint found in it; in light by the profile or with tone curve and flat field taken out: all from one of these
 * @param outlines  everything marked in the photo, so that it is not taken for surroundings
 * @param card      grid and outline of the card, where there is one
 * @returns         null when the area has too few blocks
 */
export function unevennessOf(
  { grid, shape, paint }: { grid: Grid; shape: Shape; paint: Pick<Paint, 'slope'> },
  survey: Pick<Survey, 'blocks'>,
  photo: Pick<Pixels, 'width' | 'height'>,
  outlines: Quad[],
  card: { grid: Grid; quad: Quad } | null = null,
): Unevenness | null {
  const outline = outlineOf(shape)
  const spots = spotsOf(grid, outline, photo.width)
  if (spots.length < leastCells) return null
  const area = slopeOf(spots, false)
  const middle = mapPoint(homographyBetween(unitSquare, outline), [0.5, 0.5])
  const light = lightSlope(survey, photo, outlines, [middle[0] / photo.width, middle[1] / photo.width], card)
  const inner = outline.map(([x, y]) => [x / photo.width, y / photo.width] as const)
  const across = (slope: Pick<Slope, 'alongX' | 'alongY'>) => {
    const levels = inner.map(([x, y]) => x * slope.alongX + y * slope.alongY)
    return Math.expm1(Math.max(...levels) - Math.min(...levels))
  }
  const change = across(area)
  const left = light && across({ alongX: area.alongX - light.alongX, alongY: area.alongY - light.alongY })
  const isLight = left !== null && left <= Math.max(leastLeft, shareLeft * change)
  const verdict = left === null ? 'unknown' : isLight ? 'same' : 'other'
  const isWorth = change >= worthSaying && paint.slope >= worthInPaint
  return {
    change,
    towardDeg: (Math.atan2(area.alongY, area.alongX) * 180) / Math.PI,
    lightChange: light && across(light),
    light: verdict,
    caution: isWorth && verdict !== 'same' ? words.unevenFilmOrLight : null,
  }
}

function spotsOf(grid: Grid, outline: Quad, photoWidth: number): Spot[] {
  const toPhoto = homographyBetween(unitSquare, shrinkQuad(outline, edge))
  return grid.cells.flatMap((cell) => {
    if (!cell || cell.clipped > 0.02) return []
    const [x, y] = mapPoint(toPhoto, [cell.u, cell.v])
    return spotAt(x / photoWidth, y / photoWidth, cell.mean)
  })
}

const spotAt = (x: number, y: number, mean: Triple): Spot[] => {
  const sum = mean[0] + mean[1] + mean[2]
  return sum > 1e-4 ? [{ x, y, value: Math.log(sum) }] : []
}

function lightSlope(
  survey: Pick<Survey, 'blocks'>,
  photo: Pick<Pixels, 'width' | 'height'>,
  outlines: Quad[],
  at: [number, number],
  card: { grid: Grid; quad: Quad } | null,
): Slope | null {
  const around = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.15))
  const spots = survey.blocks.flatMap(({ middle, mean }) =>
    around.some((quad) => pointInQuad(middle, quad))
      ? []
      : spotAt(middle[0] / photo.width - at[0], middle[1] / photo.width - at[1], mean),
  )
  if (spots.length >= leastBlocks) {
    // a light field bends over a photo: its slope is taken at the area
    const slope = slopeOf(spots, true)
    if (slope.scatter < evenScatter && slope.following > evenFollowing) return slope
  }
  if (!card) return null
  const onCard = spotsOf(card.grid, card.quad, photo.width)
  if (onCard.length < leastCells) return null
  const slope = slopeOf(onCard, false)
  // a small card tells a slope only as surely as its blocks agree
  const unsure = slope.scatter / Math.sqrt(slope.count) / slope.spread
  return unsure * 0.3 < leastLeft ? slope : null
}

function slopeOf(spots: Spot[], bent: boolean): Slope {
  const middleX = bent
    ? 0
    : quantile(
        spots.map(({ x }) => x),
        0.5,
      )
  const middleY = bent
    ? 0
    : quantile(
        spots.map(({ y }) => y),
        0.5,
      )
  const level = quantile(
    spots.map(({ value }) => value),
    0.5,
  )
  const terms = spots.map((s) => {
    const [x, y] = [s.x - middleX, s.y - middleY]
    return bent ? [1, x, y, x * x, x * y, y * y] : [1, x, y]
  })
  const equations = equationsOf(
    terms,
    spots.map(({ value }) => value - level),
  )
  const weights = new Float64Array(spots.length).fill(1)
  const away = new Float64Array(spots.length)
  let found: number[] = []
  let scatter = 0
  for (let round = 0; round < rounds; round++) {
    const total = weights.reduce((sum, w) => sum + w, 0)
    const ridges = terms[0]!.map((_, i) => ridge * (i === 0 ? 1e-3 : 0.01) * total + 1e-12)
    found = leastSquares(equations, weights, ridges)
    leftOver(equations, found, away)
    scatter = scatterOf(away) + 1e-4
    for (let i = 0; i < away.length; i++) weights[i] = biweight(away[i]!, 4.7 * scatter)
  }
  const xs = spots.map(({ x }) => x)
  return {
    alongX: found[1]!,
    alongY: found[2]!,
    scatter,
    following: weights.filter((w) => w > 0).length / weights.length,
    count: spots.length,
    spread: (Math.max(...xs) - Math.min(...xs)) / Math.sqrt(12),
  }
}
