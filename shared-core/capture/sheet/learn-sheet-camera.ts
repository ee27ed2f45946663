import type { DecodeTables, RgbProfile } from '../../colour/profile.ts'
import type { Layout } from '../../records/area.ts'
import type { Level } from '../../records/colour.ts'
import type { Caution } from '../../records/photo.ts'
import type { SheetFit } from '../../records/photo-sheet.ts'
import type { SetupFit } from '../../records/setup.ts'
import type { Tone } from '../bound.ts'
import { type CameraFit, fitCamera, type Known } from '../camera/fit.ts'
import { knownCard, readChart, readTiles } from '../camera/known.ts'
import type { Learned } from '../camera/learn.ts'
import { type Belief, firstBelief } from '../camera/prior.ts'
import { contrastByShading } from '../camera/shading.ts'
import type { Calibration } from '../card.ts'
import { isConvex } from '../geometry.ts'
import { evenLight } from '../light-map.ts'
import type { Pixels, Triple } from '../pixels.ts'
import { beliefOf, drifted } from '../setup.ts'
import { quantile } from '../statistics.ts'
import { words } from '../words.ts'
import { knownInks, readInks, usualInks } from './inks.ts'
import type { SheetPage } from './page.ts'
import { type PaperLight, paperLightOf } from './paper-light.ts'
import type { WhiteCell } from './white-paper.ts'

export type SheetLearnFrom = {
  page: SheetPage
  cells: readonly WhiteCell[]
  /** What a chart photo taught about sheets of this series. */
  known: SheetFit | null
  /** That was in another light than this photo's. */
  otherLight: boolean
  card: Calibration | null
  tone: Tone
  setup: SetupFit | null
}

/** The light over the paper is found with a camera, and the camera by even light: so often in turn. */
const turns = 3
const leastPatches = 8
const notTheChart = 7

/**
 * Learns the camera of a photo that shows a photo sheet: from its paper, its inks, and card, tiles and chart on it.
 * @returns null where its paper tells no light and its inks are not known either
 */
export function learnOnSheet(
  pixels: Pixels,
  tables: DecodeTables,
  profile: RgbProfile,
  layout: Layout,
  { page, cells, known, otherLight, card, tone, setup }: SheetLearnFrom,
): Learned | null {
  const cautions: Caution[] = []
  if (known && otherLight) cautions.push(words.sheetOtherLight)
  const suits = setup !== null && setup.profile === profile.name
  if (setup && !suits) cautions.push(words.otherProfile)
  const inks = readInks(pixels, tables, page)
  const grey = card && layout.card ? [knownCard(card.light, layout.card)] : []
  const tiles = readTiles(pixels, tables, layout.tiles)
  let patches: Known[] = []
  if (layout.chart && isConvex(layout.chart.quad))
    patches = readChart(pixels, tables, layout.chart).filter((patch) => patch !== null)
  if (layout.chart && patches.length < leastPatches) {
    patches = []
    cautions.push(words.chartMisplaced)
  }
  const ofSheet = (white: Triple | null) =>
    known ? knownInks(inks, page, white, { fit: known, otherLight }) : usualInks(inks, page, white)
  const places = { page, cells, profile, ofSheet }
  const wide = suits ? beliefOf(setup) : tone === 'none' ? firstBelief(tone) : shadedBelief(pixels, cells)
  const beliefs = [wide, ...(suits ? [] : beliefsOfCamera(known, profile))]
  let found = likeliest(places, [...grey, ...tiles, ...patches], beliefs)
  if (!found || (!found.light && !known)) return null
  let chartLeft = patches.length > 0 ? quantile(found.left.slice(-patches.length), 0.5) : null
  if (chartLeft !== null && chartLeft > notTheChart) {
    cautions.push(words.chartMisplaced)
    patches = []
    chartLeft = null
    found = likeliest(places, [...grey, ...tiles], beliefs)
    if (!found) return null
  }
  const { camera, covariance, light } = found
  const level = levelOf({ chart: patches.length > 0, setup: suits, sheet: known !== null, tiles: tiles.length > 0 })
  return {
    camera,
    covariance,
    level,
    chartLeft,
    others: [...(known ? found.sheet : []), ...tiles, ...patches],
    light: light?.map ?? null,
    sheetShared: known?.shared90 ?? null,
    cautions,
  }
}

type Places = {
  page: SheetPage
  cells: readonly WhiteCell[]
  profile: RgbProfile
  /** The sheet's own known places, by the light of its paper. */
  ofSheet: (white: Triple | null) => Known[]
}

/** The camera of the photo that taught the sheet, if its files were of this profile. */
function beliefsOfCamera(known: SheetFit | null, profile: RgbProfile): Belief[] {
  const camera = known?.camera
  return camera && camera.profile === profile.name ? [drifted(camera.numbers, camera.covariance)] : []
}

/** Of some beliefs about the camera the one that makes most of what is seen: only then is this the camera that is known. */
function likeliest(places: Places, others: readonly Known[], beliefs: readonly Belief[]): SheetCamera | null {
  const found = beliefs.flatMap((belief) => fitTogether(places, others, belief) ?? [])
  return found.toSorted((a, b) => b.evidence - a.evidence)[0] ?? null
}

type SheetCamera = CameraFit & { light: PaperLight | null; sheet: Known[] }

/**
 * Light over the paper and camera, in turn.
 * @param others  known places besides the sheet's own; they come last
 * @returns       light null where the paper tells none; null where nothing at all is known
 */
export function fitTogether(
  { page, cells, profile, ofSheet }: Places,
  others: readonly Known[],
  belief: Belief,
): SheetCamera | null {
  let camera = belief.camera
  let found: SheetCamera | null = null
  for (let turn = 0; turn < turns; turn++) {
    const light = paperLightOf(cells, page, camera, found?.light?.weights ?? null)
    const sheet = ofSheet(light?.white ?? null)
    const seen = [...sheet, ...others]
    if (seen.length === 0) return null
    const all = light ? seen.map((k) => ({ ...k, light: evenLight(k.light, k.place, light.map) })) : seen
    found = { ...fitCamera(all, belief, profile), light, sheet }
    camera = found.camera
  }
  return found
}

/** More squares than about so many tell no more of the tone curve. */
const shadingCells = 500

/** Cameras at large, narrowed by how the paper's colour changes with its shading. */
export function shadedBelief(pixels: Pixels, cells: readonly WhiteCell[]): Belief {
  const belief = firstBelief('unknown')
  const prior = {
    contrast: belief.camera.contrast,
    deviation: Math.sqrt(belief.covariance[0]!),
    power: belief.camera.power,
  }
  const whole = cells.filter(({ out }) => !out.includes(true))
  const some = Math.max(1, Math.floor(whole.length / shadingCells))
  const blocks = whole.filter((_cell, i) => i % some === 0)
  const shading = contrastByShading({ blocks }, [], pixels.width, prior)
  if (!shading) return belief
  const covariance = [...belief.covariance]
  covariance[0] = shading.deviation ** 2
  return { camera: { ...belief.camera, contrast: shading.contrast }, covariance }
}

function levelOf(has: { chart: boolean; setup: boolean; sheet: boolean; tiles: boolean }): Level {
  if (has.chart) return 'chart'
  if (has.setup) return 'set-up'
  if (has.sheet) return 'sheet'
  return has.tiles ? 'tiles' : 'card'
}
