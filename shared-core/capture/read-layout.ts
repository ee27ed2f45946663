import type { RgbProfile } from '../colour/profile.ts'
import type { AreaResult, CardCheck } from '../contract/photo-calls.ts'
import type { Layout, Quad } from '../records/area.ts'
import type { Exposure } from '../records/exposure.ts'
import type { Caution } from '../records/photo.ts'
import type { SheetFit } from '../records/photo-sheet.ts'
import type { SetupFit } from '../records/setup.ts'
import type { Tone } from './bound.ts'
import { fitCamera, lightOf } from './camera/fit.ts'
import type { Learned } from './camera/learn.ts'
import { surfaceLight } from './camera/model.ts'
import { firstBelief } from './camera/prior.ts'
import type { CardResult } from './card.ts'
import { cardAgainst, cardNeutrality, cardOnPaint, overexposedByCard, setupDrift } from './checks.ts'
import { middleOf } from './geometry.ts'
import { gridOf } from './grid.ts'
import { learnLayout } from './learn-layout.ts'
import { type BlankSheet, evenLight } from './light-map.ts'
import type { Pixels } from './pixels.ts'
import { type Area, readArea } from './read-area.ts'
import { scaleOf } from './sheet/page.ts'
import { cautionsOfPhoto, type Survey, surveyOf } from './surroundings.ts'
import { noiseOf } from './texture.ts'
import { words } from './words.ts'

export type LayoutReading = { results: AreaResult[]; photo: Caution[]; cardCheck: CardCheck }

export type ReadWith = {
  /** Whether the camera is known to have laid no tone curve on the file. */
  tone?: Tone
  /** Of the same pixels, when it was made before. */
  survey?: Survey
  /** What a chart taught about this camera in this light. */
  setup?: SetupFit | null
  /** A photo of a blank sheet in the same light. */
  flat?: BlankSheet | null
  /** What a chart photo taught about photo sheets like the one that this photo shows. */
  knownSheet?: SheetFit | null
  /** That was in another light than this photo's. */
  sheetFromOtherLight?: boolean
  /** What EXIF says of the photo, to notice that a set-up has drifted. */
  exposure?: Exposure | null
}

/**
 * Reads every marked area of a photo.
 * Method: file numbers → linear light by the profile's curves → the camera that suits all known colours of the photo best
 * (card, tiles, chart) together with what is believed of it before (its set-up, or cameras at large) → the paint's mean
 * without glare, shadow and dust, in light before the tone curve → the light's fall-off, where a blank sheet or even
 * surroundings tell it → exposure, white balance and colour terms → XYZ (D50) → CIELAB D50, 2°. L* above 100 is legal.
 * @param pixels   file numbers, upright; shapes are in their coordinates
 * @returns        one result per area, in order; what is to be said about the photo as a whole; whether the card agrees
 *                 with something else in the photo whose colour is known
 */
export function readLayout(
  pixels: Pixels,
  profile: RgbProfile,
  layout: Layout,
  {
    tone = 'unknown',
    survey: whole = surveyOf(pixels, profile),
    setup = null,
    flat = null,
    knownSheet = null,
    sheetFromOtherLight = false,
    exposure = null,
  }: ReadWith = {},
): LayoutReading {
  const { outlines, card, calibration, learned, tables, survey, page } = learnLayout(pixels, profile, layout, {
    tone,
    survey: whole,
    setup,
    flat,
    knownSheet,
    sheetFromOtherLight,
  })
  const photo = cautionsOfPhoto(pixels, survey, outlines)
  if (card) photo.push(...card.cautions, ...cautionsOfCard(card, survey, outlines))
  if (setup && learned.level === 'set-up' && exposure)
    photo.push(...setupDrift(setup, { card: calibration?.light ?? null, exposure }))
  const checked = checkCard(layout, card, learned, profile, tone)
  if (checked.caution) photo.push(checked.caution)
  photo.push(...learned.cautions)
  if (
    (learned.level === 'uncalibrated' || (page && !surelyRead.has(learned.level))) &&
    !card &&
    layout.areas.some((area) => area.shape.kind !== 'fade')
  )
    photo.push(page ? words.noCardOnSheet : words.noCard)

  const cardShape = layout.card && { kind: 'quad' as const, quad: layout.card.quad }
  const cardGrid = cardShape && calibration ? gridOf(pixels, tables, cardShape) : null
  const mmPerPixel = scaleOf(layout)
  const reader = {
    pixels,
    profile,
    survey,
    outlines,
    tone,
    learned,
    calibration,
    tables,
    card: cardGrid && layout.card ? { grid: cardGrid, quad: layout.card.quad } : null,
    mmPerPixel,
    noise: cardShape && calibration ? noiseOf(pixels, tables, cardShape, mmPerPixel) : null,
  }
  const areas = layout.areas.map(({ shape }): Area => {
    if (shape.kind === 'fade') return { colour: null, refused: null, light: null }
    if (card?.refused && !page && learned.level !== 'chart') return { colour: null, refused: card.refused, light: null }
    return readArea(shape, photo, reader)
  })
  const onPaint = cautionOnPaint(layout, card, areas)
  if (onPaint) {
    photo.push(onPaint)
    for (const { colour } of areas) colour?.cautions.push(onPaint)
  }
  const cardCheck =
    setup && learned.level === 'set-up' && checked.check === 'not-checked' ? bySetup(photo) : checked.check
  return { results: areas.map(({ colour, refused }) => ({ colour, refused })), photo, cardCheck }
}

/** Levels at which a photo sheet's colours are no guess, card or not. */
const surelyRead: ReadonlySet<string> = new Set(['sheet', 'chart'])

function cautionsOfCard(card: CardResult, survey: Survey, outlines: Quad[]): Caution[] {
  if (!card.calibration) return [card.refused]
  const { gain } = card.calibration
  const told = [cardNeutrality(gain, survey, outlines), overexposedByCard(gain, survey)]
  return told.filter((caution) => caution !== null)
}

type Checked = { check: CardCheck; caution: Caution | null }

/** Reads the card by the chart and the tiles alone, and compares with what was entered for it. */
function checkCard(
  layout: Layout,
  card: CardResult | null,
  { others, light }: Learned,
  profile: RgbProfile,
  tone: Tone,
): Checked {
  if (!layout.card || !card?.calibration || others.length === 0) return { check: 'not-checked', caution: null }
  const even = others.map((k) => (light ? { ...k, light: evenLight(k.light, k.place, light) } : k))
  const { camera } = fitCamera(even, firstBelief(tone), profile)
  const seen = light ? evenLight(card.calibration.light, middleOf(layout.card.quad), light) : card.calibration.light
  return cardAgainst(lightOf(layout.card.lab, profile), surfaceLight(seen, camera), layout.card.lab, profile)
}

/** Where the balance has drifted from the set-up's, another light and a card of another colour look the same. */
function bySetup(photo: readonly Caution[]): CardCheck {
  if (photo.includes(words.setupOtherLight)) return 'disagrees'
  return photo.includes(words.setupDrifted) ? 'not-checked' : 'agrees'
}

function cautionOnPaint(layout: Layout, card: CardResult | null, areas: readonly Area[]): Caution | null {
  if (!layout.card || !card?.calibration) return null
  const seen = layout.areas.flatMap(({ shape }, i) => {
    const light = areas[i]?.light
    return light ? [{ shape, light }] : []
  })
  return cardOnPaint({ quad: layout.card.quad, light: card.calibration.light }, seen)
}
