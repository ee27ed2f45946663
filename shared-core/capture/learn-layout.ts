import type { RgbProfile } from '../colour/profile.ts'
import type { Layout, Quad } from '../records/area.ts'
import type { SheetFit } from '../records/photo-sheet.ts'
import type { SetupFit } from '../records/setup.ts'
import type { Tone } from './bound.ts'
import { type Learned, learnCamera } from './camera/learn.ts'
import { type ToneTables, untonedTables } from './camera/tables.ts'
import { type Calibration, type CardResult, readCard } from './card.ts'
import type { BlankSheet } from './light-map.ts'
import { outlinesOf } from './outlines.ts'
import type { Pixels } from './pixels.ts'
import { learnOnSheet } from './sheet/learn-sheet-camera.ts'
import { pageOf, type SheetPage } from './sheet/page.ts'
import { type WhitePaper, whitePaperOf } from './sheet/white-paper.ts'
import type { Survey } from './surroundings.ts'
import { words } from './words.ts'

export type LearnWith = {
  tone: Tone
  /** Of the same pixels. */
  survey: Survey
  setup: SetupFit | null
  flat: BlankSheet | null
  /** What a chart photo taught about photo sheets like the one in this photo. */
  knownSheet?: SheetFit | null
  /** That was in another light than this photo's. */
  sheetFromOtherLight?: boolean
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
  /** The photo's survey; where everything lies on a photo sheet, of its bare paper alone. */
  survey: Survey
  /** The photo sheet that the colours were read by; null: none, or it could not be used. */
  page: SheetPage | null
}

/** @param pixels  file numbers, upright; shapes are in their coordinates */
export function learnLayout(
  pixels: Pixels,
  profile: RgbProfile,
  layout: Layout,
  { tone, survey, setup, flat, knownSheet = null, sheetFromOtherLight = false }: LearnWith,
): LayoutLearned {
  const outlines = outlinesOf(layout)
  const card = layout.card ? readCard(pixels, survey.tables, profile, layout.card) : null
  const calibration = card?.calibration ?? null
  const done = (learned: Learned, over: Survey, page: SheetPage | null): LayoutLearned => {
    const tables = untonedTables(survey.tables, learned.camera)
    return { outlines, card, calibration, learned, tables, survey: over, page }
  }
  const page = layout.sheet ? pageOf(layout.sheet) : null
  const paper = page && whitePaperOf(pixels, survey.tables, page, outlines)
  if (page && paper) {
    const { cells } = paper
    const from = { page, cells, known: knownSheet, otherLight: sheetFromOtherLight, card: calibration, tone, setup }
    const learned = learnOnSheet(pixels, survey.tables, profile, layout, from)
    if (learned) {
      if (!learned.light) learned.cautions.push(noPaper(paper))
      return done(learned, ofPaper(survey, paper), page)
    }
  }
  const from = { card: calibration, tone, setup, survey, flat, outlines }
  const learned = learnCamera(pixels, survey.tables, profile, layout, from)
  if (layout.sheet) learned.cautions.push(noPaper(paper))
  return done(learned, survey, null)
}

const mostOverexposed = 0.4
const noPaper = (paper: WhitePaper | null) =>
  paper && paper.overexposed > mostOverexposed ? words.sheetOverexposed : words.sheetUnread

/** The paper is the one surface of a photo sheet whose colour is the same all over; what is printed on it is no busy room. */
const ofPaper = (survey: Survey, { cells }: WhitePaper): Survey => ({
  ...survey,
  blocks: cells.filter(({ out }) => !out.includes(true)),
  limited: cells.flatMap(({ middle, mean, out }) => {
    const limited = ([0, 1, 2] as const).filter((c) => out[c])
    return limited.length === 1 ? [{ middle, mean, out: limited[0]! }] : []
  }),
  range: { ...survey.range, levels: 0 },
})
