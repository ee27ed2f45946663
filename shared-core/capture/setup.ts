import type { RgbProfile } from '../colour/profile.ts'
import type { Layout, Quad } from '../records/area.ts'
import type { Exposure } from '../records/exposure.ts'
import type { Caution } from '../records/photo.ts'
import type { SetupFit } from '../records/setup.ts'
import { type CameraFit, fitCamera, type Known, labOf, stepsBetween } from './camera/fit.ts'
import { knownCard, readChart, readTiles } from './camera/known.ts'
import { cameraTerms } from './camera/model.ts'
import { type Belief, beliefFrom, firstBelief, numbersOf } from './camera/prior.ts'
import { readCard } from './card.ts'
import { isConvex, outlineOf } from './geometry.ts'
import { type BlankSheet, evenLight, lightOver } from './light-map.ts'
import type { Pixels, Triple } from './pixels.ts'
import { quantile } from './statistics.ts'
import type { Survey } from './surroundings.ts'
import { words } from './words.ts'

/** A camera cannot be told from fewer patches. */
const leastPatches = 12
/** Median dE00 left on the patches beyond which they are not the chart's. */
const notTheChart = 7
const poorChart = 3.5
/** Patches are left out in so many turns to see how well the fit tells those it has not seen. */
const turns = 6

export type Calibrated =
  | { fit: SetupFit; cautions: Caution[]; refused: null }
  | { fit: null; cautions: Caution[]; refused: Caution }

const refuse = (refused: Caution): Calibrated => ({ fit: null, cautions: [], refused })

/**
 * Learns a set-up from a photo with the 24-patch chart in it.
 * Every known colour of the photo counts: the chart's patches, the card and tiles where they are marked. What it learns is
 * the camera (tone curve, flare, colour terms) with its uncertainty, regularised toward the file's own profile; exposure and
 * white balance are left to the card of each later photo.
 * @param layout  with `chart`; in the coordinates of `pixels`
 */
export function calibrateSetup(
  pixels: Pixels,
  profile: RgbProfile,
  layout: Layout,
  { survey, exposure, flat = null }: { survey: Survey; exposure: Exposure; flat?: BlankSheet | null },
): Calibrated {
  const { chart } = layout
  if (!chart) return refuse(words.noChart)
  if (!isConvex(chart.quad)) return refuse(words.chartUnreadable)
  const { tables } = survey
  const patches = readChart(pixels, tables, chart)
  const usable = patches.filter((patch) => patch !== null)
  if (usable.length < leastPatches) return refuse(words.chartUnreadable)
  const card = layout.card && readCard(pixels, tables, profile, layout.card)
  const grey = layout.card && card?.calibration ? knownCard(card.calibration.light, layout.card) : null
  const cautions = [...(card?.cautions ?? [])]
  const belief = firstBelief('unknown')
  const asSeen = [...(grey ? [grey] : []), ...readTiles(pixels, tables, layout.tiles), ...usable]
  const first = fitCamera(asSeen, belief, profile)
  const outlines = [chart.quad, ...(layout.card ? [layout.card.quad] : []), ...(layout.tiles ?? []).map((t) => t.quad)]
  for (const area of layout.areas) outlines.push(outlineOf(area.shape))
  const light = lightOver(pixels, first.camera, { survey, flat, outlines }, cautions)
  const known = light ? asSeen.map((k) => ({ ...k, light: evenLight(k.light, k.place, light) })) : asSeen
  const { camera, covariance, left } = light ? fitCamera(known, belief, profile) : first
  if (quantile(left, 0.5) > notTheChart)
    return refuse(isTurned(pixels, layout, survey, profile) ? words.chartTurned : words.chartUnreadable)
  const unseen = errorsOfUnseen(known, usable.length, belief, profile)
  const residual = { median: quantile(unseen, 0.5), p90: quantile(unseen, 0.9), patches: usable.length }
  if (residual.median > poorChart) cautions.push(words.chartPoor)
  if (usable.length < patches.length) cautions.push(words.chartClipped)
  return {
    fit: {
      version: 1,
      profile: profile.name,
      ...numbersToKeep({ camera, covariance }),
      residual,
      card: grey?.light ?? cardFromChart(patches),
      exposure,
    },
    cautions,
    refused: null,
  }
}

/** Of a fit, what holds for other photos of the same camera in the same light: all but the gain. */
export const numbersToKeep = ({ camera, covariance }: Pick<CameraFit, 'camera' | 'covariance'>) => ({
  camera: numbersOf({ camera, covariance: [] }),
  covariance: covariance.subMatrix(0, cameraTerms - 1, 0, cameraTerms - 1).to1DArray(),
})

const greyPatch = 22
/** Where no card was marked the chart's own middle grey stands for it. */
const cardFromChart = (patches: (Known | null)[]): Triple => patches[greyPatch - 1]?.light ?? [0, 0, 0]

/** @param patches  how many of the known places, the last ones, are the chart's */
function errorsOfUnseen(known: Known[], patches: number, belief: Belief, profile: RgbProfile): number[] {
  return Array.from({ length: turns }, (_, turn) => {
    const out = new Set(known.slice(-patches).filter((_patch, i) => i % turns === turn))
    const { camera } = fitCamera(
      known.filter((k) => !out.has(k)),
      belief,
      profile,
    )
    return [...out].map(({ light, lab }) => Math.hypot(...stepsBetween(labOf(light, camera, profile), lab)))
  }).flat()
}

/** Whether the outline fits the chart much better when it starts at another of its corners. */
function isTurned(pixels: Pixels, layout: Layout, { tables }: Survey, profile: RgbProfile): boolean {
  const { chart } = layout
  if (!chart) return false
  const [a, b, c, d] = chart.quad
  const others: Quad[] = [
    [b, c, d, a],
    [c, d, a, b],
    [d, a, b, c],
  ]
  return others.some((quad) => {
    const known = readChart(pixels, tables, { ...chart, quad }).filter((patch) => patch !== null)
    if (known.length < leastPatches) return false
    return quantile(fitCamera(known, firstBelief('unknown'), profile).left, 0.5) < notTheChart / 2
  })
}

/**
 * How a camera may differ from its set-up in another photo of it: what phones do to each picture by themselves. Standard
 * deviations of contrast, power, flare, cross and root terms; common practice, no source.
 */
const drift = [0.05, 0.02, 0.004, ...Array<number>(6).fill(0.02), ...Array<number>(9).fill(0.02)]

/** What a set-up lets one believe of the camera in a later photo. */
export const beliefOf = (fit: SetupFit): Belief => drifted(fit.camera, fit.covariance)

/** What one photo told of a camera, for another photo of it. */
export function drifted(numbers: readonly number[], told: readonly number[]): Belief {
  const covariance = [...told]
  drift.forEach((s, i) => {
    covariance[i * cameraTerms + i] = (covariance[i * cameraTerms + i] ?? 0) + s * s
  })
  return beliefFrom(numbers, covariance)
}
