import type { RgbProfile } from '../colour/profile.ts'
import type { Layout, Quad } from '../records/area.ts'
import type { SetupFit } from '../records/setup.ts'
import type { Tone } from './bound.ts'
import { type Learned, learnCamera } from './camera/learn.ts'
import { type ToneTables, untonedTables } from './camera/tables.ts'
import { type Calibration, type CardResult, readCard } from './card.ts'
import { outlineOf } from './geometry.ts'
import type { BlankSheet } from './light-map.ts'
import type { Pixels } from './pixels.ts'
import type { Survey } from './surroundings.ts'

export type LearnWith = {
  tone: Tone
  /** Of the same pixels. */
  survey: Survey
  setup: SetupFit | null
  flat: BlankSheet | null
}

/** What a photo's marks say of its camera and light: all that turns its numbers into colours. */
export type LayoutLearned = {
  /** Everything marked: what lies outside it is surroundings. */
  outlines: Quad[]
  card: CardResult | null
  calibration: Calibration | null
  learned: Learned
  /** Light before the camera's tone curve, for every number of the file. */
  tables: ToneTables
}

/** @param pixels  file numbers, upright; shapes are in their coordinates */
export function learnLayout(
  pixels: Pixels,
  profile: RgbProfile,
  layout: Layout,
  { tone, survey, setup, flat }: LearnWith,
): LayoutLearned {
  const outlines = outlinesOf(layout)
  const card = layout.card ? readCard(pixels, survey.tables, profile, layout.card) : null
  const calibration = card?.calibration ?? null
  const learned = learnCamera(pixels, survey.tables, profile, layout, {
    card: calibration,
    tone,
    setup,
    survey,
    flat,
    outlines,
  })
  return { outlines, card, calibration, learned, tables: untonedTables(survey.tables, learned.camera) }
}

function outlinesOf(layout: Layout): Quad[] {
  const outlines = layout.areas.map((area) => outlineOf(area.shape))
  if (layout.card) outlines.push(layout.card.quad)
  for (const tile of layout.tiles ?? []) outlines.push(tile.quad)
  if (layout.chart) outlines.push(layout.chart.quad)
  return outlines
}
