import type { RgbProfile } from '../../colour/profile.ts'
import type { Layout } from '../../records/area.ts'
import type { Exposure } from '../../records/exposure.ts'
import type { Caution } from '../../records/photo.ts'
import type { KnownInk, SheetFit } from '../../records/photo-sheet.ts'
import { cameraSteps, labOf } from '../camera/fit.ts'
import { knownCard, readChart, readTiles } from '../camera/known.ts'
import { cameraDeviation } from '../camera/learn.ts'
import { firstBelief } from '../camera/prior.ts'
import { readCard } from '../card.ts'
import { isConvex } from '../geometry.ts'
import { evenLight } from '../light-map.ts'
import { outlinesOf } from '../outlines.ts'
import type { Pixels, Triple } from '../pixels.ts'
import { numbersToKeep } from '../setup.ts'
import { quantile } from '../statistics.ts'
import { type Survey, surveyOf } from '../surroundings.ts'
import { words } from '../words.ts'
import { inkPlaces, readInks } from './inks.ts'
import { fitTogether } from './learn-sheet-camera.ts'
import { pageOf } from './page.ts'
import { whitePaperOf } from './white-paper.ts'

export type SheetLearned = { fit: SheetFit | null; refused: Caution | null; cautions: Caution[] }

/** A camera cannot be told from fewer patches, nor a sheet from fewer places. */
const leastPatches = 12
const leastInks = 4
/** Median dE00 left on the patches beyond which they are not the chart's. */
const notTheChart = 7
const poorChart = 3.5
/** dE00 of one place of its own: noise, the light just there, how evenly it is printed. */
const ownNoise = 0.6
/** 90 % of what the fit of the camera leaves open, beside what no fit tells: see `bound.ts`, chart. */
const shared = { least: 0.6, camera: 0.75, unlike: 0.5 }

const refuse = (refused: Caution): SheetLearned => ({ fit: null, refused, cautions: [] })

/**
 * Learns what a photo sheet's paper and inks look like, from one photo with a 24-patch chart lying on it.
 * The chart, and a card where one is marked, pin the camera, the bare paper tells the light, and each place of the sheet is
 * then read as a paint would be.
 * @param layout  with `sheet` and `chart`; in the coordinates of `pixels`
 */
export function learnSheet(
  pixels: Pixels,
  profile: RgbProfile,
  layout: Layout,
  { survey = surveyOf(pixels, profile), exposure }: { survey?: Survey; exposure: Exposure },
): SheetLearned {
  const { chart } = layout
  const page = layout.sheet ? pageOf(layout.sheet) : null
  if (!page) return refuse(words.sheetAbsent)
  if (!chart) return refuse(words.sheetChartAbsent)
  if (!isConvex(chart.quad)) return refuse(words.sheetChartUnreadable)
  const { tables } = survey
  const all = readChart(pixels, tables, chart)
  const patches = all.filter((patch) => patch !== null)
  if (patches.length < leastPatches) return refuse(words.sheetChartUnreadable)
  const card = layout.card && readCard(pixels, tables, profile, layout.card).calibration
  const grey = card && layout.card ? [knownCard(card.light, layout.card)] : []
  const tiles = readTiles(pixels, tables, layout.tiles)
  const { cells, overexposed } = whitePaperOf(pixels, tables, page, outlinesOf(layout))
  const inks = readInks(pixels, tables, page)
  // the sheet itself says nothing yet: its own colours are what is asked for
  const others = [...grey, ...tiles, ...patches]
  const found = fitTogether({ page, cells, profile, ofSheet: () => [] }, others, firstBelief('unknown'))
  if (!found?.light) return refuse(overexposed > 0.4 ? words.sheetOverexposed : words.sheetUnread)
  const { camera, covariance, light } = found
  if (!light.white) return refuse(words.sheetOverexposed)
  const left = quantile(found.left.slice(-patches.length), 0.5)
  if (left > notTheChart) return refuse(words.sheetChartUnreadable)
  const openAt: number[] = []
  const known = (seen: Triple): KnownInk => {
    openAt.push(cameraDeviation(cameraSteps(seen, camera, profile), covariance))
    return { lab: { ...labOf(seen, camera, profile) }, deviation: ownNoise }
  }
  const white = known(light.white)
  const seen = inks.map(({ hex, light: ink, place }) => ({ hex, ...known(evenLight(ink, place, light.map)) }))
  const asked = [...new Set(inkPlaces(page).map(({ hex }) => hex))]
  const read = asked.map((hex) => meanInk(seen.filter((ink) => ink.hex === hex)))
  const count = read.filter((ink) => ink !== null).length
  if (count < leastInks) return refuse(words.sheetInksUnread)
  const cautions: Caution[] = []
  if (left > poorChart) cautions.push(words.chartPoor)
  if (patches.length < all.length) cautions.push(words.chartClipped)
  if (count < asked.length) cautions.push(words.sheetInksFew)
  const { camera: numbers, covariance: spread } = numbersToKeep({ camera, covariance })
  return {
    fit: {
      version: 1,
      white,
      inks: read,
      shared90: Math.hypot(shared.least, shared.camera * quantile(openAt, 0.5), shared.unlike * Math.max(0, left - 1)),
      camera: { profile: profile.name, numbers, covariance: spread, exposure },
    },
    refused: null,
    cautions,
  }
}

type HexInk = NonNullable<SheetFit['inks'][number]>

/** Of a colour that is there twice. */
function meanInk(of: readonly HexInk[]): HexInk | null {
  const [first] = of
  if (!first) return null
  const mean = (pick: (ink: HexInk) => number) => of.reduce((sum, ink) => sum + pick(ink) / of.length, 0)
  const lab = { l: mean((ink) => ink.lab.l), a: mean((ink) => ink.lab.a), b: mean((ink) => ink.lab.b) }
  return { ...first, lab, deviation: first.deviation / Math.sqrt(of.length) }
}
