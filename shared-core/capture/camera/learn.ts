import { Matrix } from 'ml-matrix'
import { apply3 } from '../../colour/matrix.ts'
import type { DecodeTables, RgbProfile } from '../../colour/profile.ts'
import type { Layout, Quad } from '../../records/area.ts'
import type { Level } from '../../records/colour.ts'
import type { Caution } from '../../records/photo.ts'
import type { SetupFit } from '../../records/setup.ts'
import type { Tone } from '../bound.ts'
import type { Calibration } from '../card.ts'
import { isConvex } from '../geometry.ts'
import { type BlankSheet, evenLight, type LightMap, lightOver } from '../light-map.ts'
import type { Pixels, Triple } from '../pixels.ts'
import { beliefOf } from '../setup.ts'
import { quantile } from '../statistics.ts'
import type { Survey } from '../surroundings.ts'
import { isBusy } from '../tonal-range.ts'
import { words } from '../words.ts'
import { fitCamera, type Known } from './fit.ts'
import { knownCard, readChart, readTiles } from './known.ts'
import { allTerms, type Camera, cameraTerms, plainCamera, surfaceLight } from './model.ts'
import { type Belief, firstBelief } from './prior.ts'
import { contrastByShading } from './shading.ts'

/** What the known places of a photo, and its set-up, tell about the camera. */
export type Learned = {
  camera: Camera
  /** Of the camera's numbers, `allTerms` squared; null where nothing is known at all. */
  covariance: Matrix | null
  level: Level
  /** Median dE00 left on the chart's patches, where there is a chart. */
  chartLeft: number | null
  /** Which of a card, tiles, a chart and a set-up counted: the places known besides the card. */
  others: Known[]
  /** How the light falls off over the photo, where a blank sheet or even surroundings tell. */
  light: LightMap | null
  /** dE00 that the colours of a known photo sheet may be off by together (90 %); null where none counted. */
  sheetShared: number | null
  cautions: Caution[]
}

const leastPatches = 8
const notTheChart = 7

export type LearnFrom = {
  /** As `readCard` gave it. */
  card: Calibration | null
  tone: Tone
  setup: SetupFit | null
  survey: Survey
  /** A photo of a blank sheet in the same light. */
  flat: BlankSheet | null
  /** All that is marked: what lies outside is surroundings. */
  outlines: Quad[]
}

/** Learns the camera of one photo from all that is known in it. */
export function learnCamera(
  pixels: Pixels,
  tables: DecodeTables,
  profile: RgbProfile,
  layout: Layout,
  { card, tone, setup, survey, flat, outlines }: LearnFrom,
): Learned {
  const cautions: Caution[] = []
  const suits = setup !== null && setup.profile === profile.name
  if (setup && !suits) cautions.push(words.otherProfile)
  const alone = !suits && tone !== 'none' && !layout.chart
  let belief = suits
    ? beliefOf(setup)
    : alone
      ? shadedBelief(pixels, survey, outlines)
      : firstBelief(tone, isBusy(survey.range))
  const grey = card && layout.card ? knownCard(card.light, layout.card) : null
  const tiles = readTiles(pixels, tables, layout.tiles)
  let patches: Known[] = []
  if (layout.chart) {
    if (isConvex(layout.chart.quad)) patches = readChart(pixels, tables, layout.chart).filter((patch) => patch !== null)
    if (patches.length < leastPatches) {
      patches = []
      cautions.push(words.chartMisplaced)
    }
  }
  const fitWith = (chart: Known[], light: LightMap | null = null) => {
    const raw = [...(grey ? [grey] : []), ...tiles, ...chart]
    const known = light ? raw.map((k) => ({ ...k, light: evenLight(k.light, k.place, light) })) : raw
    // a chart or a set-up says more of the tone curve, and surely
    const brightest = chart.length > 0 || suits || tone === 'none' ? null : brightestOf(survey)
    return known.length > 0 ? { known, ...fitCamera(known, belief, profile, brightest) } : null
  }
  let found = fitWith(patches)
  if (found && alone) {
    const veiled = veiledBelief(belief, found.camera, profile, survey)
    if (veiled) {
      belief = veiled
      found = fitWith(patches)
    }
  }
  let chartLeft = patches.length > 0 && found ? quantile(found.left.slice(-patches.length), 0.5) : null
  if (chartLeft !== null && chartLeft > notTheChart) {
    cautions.push(words.chartMisplaced)
    patches = []
    chartLeft = null
    found = fitWith(patches)
  }
  // the fall-off shows in light, so it takes a first idea of the camera's tone curve
  const light = found && lightOver(pixels, found.camera, { survey, flat, outlines }, cautions)
  if (light) {
    found = fitWith(patches, light)
    if (patches.length > 0 && found) chartLeft = quantile(found.left.slice(-patches.length), 0.5)
  }
  if (!found)
    return {
      camera: plainCamera,
      covariance: null,
      level: 'uncalibrated',
      chartLeft: null,
      others: [],
      light: null,
      sheetShared: null,
      cautions,
    }
  const { camera, covariance } = found
  const level = levelOf({ chart: patches.length > 0, setup: suits, tiles: tiles.length > 0 })
  return { camera, covariance, level, chartLeft, others: [...tiles, ...patches], light, sheetShared: null, cautions }
}

/** What is darkest in a busy photo is about this dark: cloth, gaps, the inside of things. */
const usualDarkest = 0.015
const leastVeil = 0.01

/**
 * A busy photo in which nothing is dark is veiled: light strayed in the lens or lay on everything. About as much as its
 * darkest places are too bright is taken for flare, with a wide margin.
 */
function veiledBelief(belief: Belief, camera: Camera, profile: RgbProfile, { range }: Survey): Belief | null {
  if (!isBusy(range)) return null
  const [, y] = apply3(profile.toXyzD50, surfaceLight(range.darkest, { ...camera, flare: 0 }))
  const veil = y - usualDarkest
  if (veil < leastVeil) return null
  const covariance = [...belief.covariance]
  covariance[2 * cameraTerms + 2] = (veil / 2) ** 2
  return { camera: { ...belief.camera, flare: veil }, covariance }
}

/** Cameras at large, narrowed by what the shading of the surroundings says of this one's tone curve. */
function shadedBelief(pixels: Pixels, survey: Survey, outlines: Quad[]): Belief {
  const belief = firstBelief('unknown', isBusy(survey.range))
  const prior = {
    contrast: belief.camera.contrast,
    deviation: Math.sqrt(belief.covariance[0]!),
    power: belief.camera.power,
  }
  const shading = contrastByShading(survey, outlines, pixels.width, prior)
  if (!shading) return belief
  const covariance = [...belief.covariance]
  covariance[0] = shading.deviation ** 2
  return { camera: { ...belief.camera, contrast: shading.contrast }, covariance }
}

/** Blocks of the photo below which its surroundings say nothing of white. */
const leastBlocks = 20

/** The light that nine of ten blocks of the photo stay below: a small highlight is no white surface. */
function brightestOf({ blocks }: Survey): Triple | null {
  if (blocks.length < leastBlocks) return null
  const sorted = blocks.map(({ mean }) => mean).toSorted((a, b) => a[0] + a[1] + a[2] - b[0] - b[1] - b[2])
  return sorted[Math.floor(0.9 * (sorted.length - 1))] ?? null
}

function levelOf(has: { chart: boolean; setup: boolean; tiles: boolean }): Level {
  if (has.chart) return 'chart'
  if (has.setup) return 'set-up'
  return has.tiles ? 'tiles' : 'card'
}

/** Standard deviation in dE00 of a colour by what is not known of the camera. @param slopes  dE00 steps for each term */
export function cameraDeviation(slopes: readonly (readonly number[])[], covariance: Matrix): number {
  let variance = 0
  for (let channel = 0; channel < 3; channel++) {
    const g = Matrix.rowVector(Array.from({ length: allTerms }, (_, i) => slopes[i]?.[channel] ?? 0))
    variance += g.mmul(covariance).mmul(g.transpose()).get(0, 0)
  }
  return Math.sqrt(Math.max(0, variance))
}
