import { solveLinear } from './geometry.ts'
import type { Triple } from './pixels.ts'
import { quantile } from './statistics.ts'

/** A small block of one surface: where it lies, in photo widths, and its mean in linear light. */
export type Spot = { x: number; y: number; mean: Triple }

export type Drift = {
  /** Change of the ratio of two channels (natural logarithm) over one photo width, along its steepest direction. */
  perWidth: number
  /** Scatter of the blocks about it. */
  scatter: number
  /** Share of the blocks that follow it. */
  following: number
}

const rounds = 8
/** Curvature and level of the camera's tone curve are let in gently: few photos can tell them apart from the drift. */
const ridge = 3e-3

/**
 * How the colour of the light drifts across one surface.
 * The camera's tone curve also turns brightness into colour, so each channel ratio is fitted with place and brightness
 * together; what follows the place alone is a second light of another colour. Other objects on the surface are left out by
 * Tukey's biweight.
 * @returns null when there are fewer than `least` blocks
 */
export function colourDrift(spots: Spot[], least: number): Drift | null {
  if (spots.length < least) return null
  const red = fit(spots, ({ mean }) => Math.log(mean[0] / mean[1]))
  const blue = fit(spots, ({ mean }) => Math.log(mean[2] / mean[1]))
  return {
    perWidth: Math.hypot(red.alongX, red.alongY, blue.alongX, blue.alongY),
    scatter: Math.max(red.scatter, blue.scatter),
    following: Math.min(red.following, blue.following),
  }
}

function fit(spots: Spot[], ratio: (spot: Spot) => number) {
  const brightness = spots.map(({ mean }) => Math.log(mean[0] + mean[1] + mean[2]))
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
    const bright = brightness[i]! - middle
    return [1, s.x - middleX, s.y - middleY, bright, bright * bright]
  })
  const wanted = spots.map(ratio)
  let weights = spots.map(() => 1)
  let found = [0, 0, 0, 0, 0]
  let scatter = 0
  for (let round = 0; round < rounds; round++) {
    const rows = Array.from({ length: 5 }, (_, i) =>
      [0, 0, 0, 0, 0, 0].map((zero, j) => (i === j && i > 2 ? ridge : zero)),
    )
    terms.forEach((t, n) => {
      for (let i = 0; i < 5; i++) {
        for (let j = 0; j < 5; j++) rows[i]![j]! += weights[n]! * t[i]! * t[j]!
        rows[i]![5]! += weights[n]! * t[i]! * wanted[n]!
      }
    })
    for (let i = 0; i < 5; i++) rows[i]![i]! += 1e-9
    found = solveLinear(rows)
    const residuals = terms.map((t, n) => Math.abs(wanted[n]! - t.reduce((sum, v, i) => sum + v * found[i]!, 0)))
    scatter = 1.4826 * quantile(residuals, 0.5) + 1e-4
    weights = residuals.map((r) => (r < 4.7 * scatter ? (1 - (r / (4.7 * scatter)) ** 2) ** 2 : 0))
  }
  const following = weights.filter((w) => w > 0).length / weights.length
  return { alongX: found[1]!, alongY: found[2]!, scatter, following }
}
