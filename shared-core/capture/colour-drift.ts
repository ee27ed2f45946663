import { biweight, equationsOf, leastSquares, leftOver, scatterOf } from './least-squares.ts'
import type { Triple } from './pixels.ts'
import { quantile } from './statistics.ts'

/** A small block of one surface: where it lies, in photo widths, and its mean in linear light. */
export type Spot = {
  x: number
  y: number
  mean: Triple
  /** The one channel whose numbers are at the file's limit and tell nothing; left out: all three can be trusted. */
  out?: Channel
}
export type Channel = 0 | 1 | 2

export type Drift = {
  /** Change of the ratio of two channels (natural logarithm) over one photo width, along its steepest direction. */
  perWidth: number
  /** Scatter of the blocks about it, with brightness allowed for; and without. */
  scatter: number
  scatterByPlace: number
  /** Share of the blocks that follow it. */
  following: number
}

const rounds = 8
/** Curvature and level of the camera's tone curve are let in gently: few photos can tell them apart from the drift. */
const ridge = 3e-3
const ridges = [1e-9, 1e-9, 1e-9, ridge + 1e-9, ridge + 1e-9]

/**
 * How the colour of the light drifts across one surface.
 * The camera's tone curve also turns brightness into colour, so each channel ratio is fitted with place and brightness
 * together; what follows the place alone is a second light of another colour. Other objects on the surface are left out by
 * Tukey's biweight. It has to be there by place alone, too: brightness set against place can make a drift out of a second
 * surface. Where one channel has run into its limit, the ratio of the other two still tells.
 * @returns null when there are fewer than `least` blocks
 */
export function colourDrift(spots: Spot[], least: number): Drift | null {
  const whole = spots.filter(({ out }) => out === undefined)
  if (whole.length >= least) {
    return driftOf([fit(whole, 0, 1), fit(whole, 2, 1)], [fit(whole, 0, 1, false), fit(whole, 2, 1, false)])
  }
  const [best] = pairs
    .map(([a, b, third]) => ({ a, b, of: spots.filter(({ out }) => out === undefined || out === third) }))
    .toSorted((one, other) => other.of.length - one.of.length)
  if (!best || best.of.length < least) return null
  return driftOf([fit(best.of, best.a, best.b)], [fit(best.of, best.a, best.b, false)])
}

type Fit = { alongX: number; alongY: number; scatter: number; following: number }

function driftOf(fits: Fit[], byPlace: Fit[]): Drift {
  const length = (of: Fit[]) => Math.hypot(...of.flatMap(({ alongX, alongY }) => [alongX, alongY]))
  const widest = (of: Fit[]) => Math.max(...of.map(({ scatter }) => scatter))
  return {
    perWidth: Math.min(length(fits), length(byPlace)),
    scatter: widest(fits),
    scatterByPlace: widest(byPlace),
    following: Math.min(...fits.map(({ following }) => following)),
  }
}

/** Two channels, and the one that their ratio does without. */
const pairs: [Channel, Channel, Channel][] = [
  [2, 1, 0],
  [0, 1, 2],
  [0, 2, 1],
]

function fit(spots: Spot[], above: Channel, below: Channel, withBrightness = true) {
  const third = (3 - above - below) as Channel
  const ofThird = spots.every(({ out }) => out === undefined) ? 1 : 0
  const brightness = spots.map(({ mean }) => Math.log(mean[above] + mean[below] + ofThird * mean[third]))
  const middle = quantile(brightness, 0.5)
  const middleX = quantile(
    spots.map((s) => s.x),
    0.5,
  )
  const middleY = quantile(
    spots.map((s) => s.y),
    0.5,
  )
  const terms = spots.map((s, i) => {
    const bright = withBrightness ? brightness[i]! - middle : 0
    return [1, s.x - middleX, s.y - middleY, bright, bright * bright]
  })
  const wanted = spots.map(({ mean }) => Math.log(mean[above] / mean[below]))
  const equations = equationsOf(terms, wanted)
  const weights = new Float64Array(spots.length).fill(1)
  const away = new Float64Array(spots.length)
  let found: number[] = []
  let scatter = 0
  for (let round = 0; round < rounds; round++) {
    found = leastSquares(equations, weights, ridges)
    leftOver(equations, found, away)
    scatter = scatterOf(away) + 1e-4
    for (let i = 0; i < away.length; i++) weights[i] = biweight(away[i]!, 4.7 * scatter)
  }
  const following = weights.filter((w) => w > 0).length / weights.length
  return { alongX: found[1]!, alongY: found[2]!, scatter, following }
}
