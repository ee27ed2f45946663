import { mapPoint } from '../../capture/geometry.ts'
import type { Pixels, Triple } from '../../capture/pixels.ts'
import { pageOf, quadOnPhoto, type SheetPage } from '../../capture/sheet/page.ts'
import { type PaperLight, paperLightOf } from '../../capture/sheet/paper-light.ts'
import { whitePaperOf } from '../../capture/sheet/white-paper.ts'
import { quantile } from '../../capture/statistics.ts'
import type { DecodeTables, RgbProfile } from '../../colour/profile.ts'
import { decodeTable } from '../../colour/profile.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Point, Quad } from '../../records/area.ts'
import type { SheetOnPhoto } from '../../records/photo-sheet.ts'
import type { FoundThing } from '../../records/proposal.ts'
import { chartIn } from './chart-in-place.ts'
import { type Outline, outlineNear } from './side-lines.ts'

/** What lies in the places of a photo sheet; photo pixels. */
export type OnSheet = {
  /** Its window where nothing is seen to lie in it; the confidence is then low. */
  panel: FoundThing
  card: FoundThing | null
  /** Its corners start at patch 1 and go on with 6, 24 and 19. */
  chart: FoundThing | null
}

/** By hand things are laid a few millimetres off; the next thing on the page is 6 mm away. */
const ofPanel = { outMm: 5.2, inMm: 8, isSized: true }
const ofCard = { outMm: 4, inMm: 4, isSized: false }
/** A step that is no more than this (cube roots of light) is noise, or a fold of the paper. */
const leastStep = 0.02
const sureStep = 0.06
/** Light of a grey card against the paper's, and how far its channels may differ. */
const cardShare = { least: 0.08, most: 0.5 }
const cardTint = 0.25

/**
 * Finds panel, card and chart on a sheet, each near its place.
 * @param pixels  in whose coordinates the sheet is
 * @returns       null where the sheet's numbers describe no page
 */
export function thingsOnSheet(pixels: Pixels, profile: RgbProfile, sheet: SheetOnPhoto): OnSheet | null {
  const page = pageOf(sheet)
  if (!page) return null
  const tables = decodeTable(profile, pixels.bits)
  const { window, card, chart: chartPlace } = page.places
  const light = paperLightOf(whitePaperOf(pixels, tables, page, []).cells, page, { contrast: 0, power: 0 })
  const chart = chartIn(pixels, tables, profile, page, chartPlace)
  const lying = (place: Rect, reach: typeof ofPanel) => thingNear(pixels, tables, page, place, reach)
  const cardPlace = chart && page.places.shared ? null : cardIn(pixels, tables, page, card, light)
  return { panel: lying(window, ofPanel), card: cardPlace && lying(cardPlace, ofCard), chart }
}

function thingNear(
  pixels: Pixels,
  tables: DecodeTables,
  page: SheetPage,
  place: Rect,
  reach: typeof ofPanel,
): FoundThing {
  const outline = outlineNear(pixels, tables, page, place, reach)
  if (!isLikely(outline, place)) return { quad: quadOnPhoto(page, place), confidence: 0.3 }
  const weakest = Math.min(...outline.steps)
  const confidence = Math.min(0.98, 0.5 + 0.45 * Math.min(1, (weakest - leastStep) / (sureStep - leastStep)))
  return { quad: outline.quad.map((corner) => mapPoint(page.toPhoto, corner)) as Quad, confidence }
}

/** A rectangle, about as large as its place. */
function isLikely({ quad, steps }: Outline, { widthMm, heightMm }: Rect): boolean {
  if (Math.min(...steps) < leastStep) return false
  const side = (i: number) => {
    const [a, b] = [quad[i]!, quad[(i + 1) % 4]!]
    return { long: Math.hypot(b[0] - a[0], b[1] - a[1]), around: Math.atan2(b[1] - a[1], b[0] - a[0]) }
  }
  const sides = [0, 1, 2, 3].map(side)
  const square = sides.every(({ around }, i) => {
    const turn = sides[(i + 1) % 4]!.around - around
    return Math.abs(Math.sin(turn - Math.PI / 2)) < mostSkew
  })
  const near = (long: number, of: number) => long > 0.88 * of && long < 1.05 * of + 2
  return square && sides.every(({ long }, i) => near(long, i % 2 === 0 ? widthMm : heightMm))
}

/** Sine of what a corner may be off square: a twentieth is 3°. */
const mostSkew = 0.05

/** Places of a grid over the card's, so far apart. */
const gridMm = 1
/** Of the places that look like a card, so many lie beyond the rectangle on each side: its corners, where it is turned a little. */
const beyond = 0.03
const leastCardMm = 20

/** About where a grey card lies in or near its place, whatever its size. Null: nothing there looks like one. */
function cardIn(
  pixels: Pixels,
  tables: DecodeTables,
  page: SheetPage,
  place: Rect,
  light: PaperLight | null,
): Rect | null {
  const columns = Math.floor(place.widthMm / gridMm)
  const rows = Math.floor(place.heightMm / gridMm)
  const at = Array.from(
    { length: columns * rows },
    (_, n): Point => [place.xMm + ((n % columns) + 0.5) * gridMm, place.yMm + (Math.floor(n / columns) + 0.5) * gridMm],
  )
  const grey = at.filter((point) => isGrey(pixels, tables, page, point, light))
  if (grey.length < leastCardMm ** 2 / gridMm ** 2) return null
  const span = (values: number[]) => [quantile(values, beyond), quantile(values, 1 - beyond)] as const
  const [left, right] = span(grey.map(([x]) => x))
  const [top, bottom] = span(grey.map(([, y]) => y))
  const [widthMm, heightMm] = [(right - left) / (1 - 2 * beyond), (bottom - top) / (1 - 2 * beyond)]
  const rect = { xMm: (left + right - widthMm) / 2, yMm: (top + bottom - heightMm) / 2, widthMm, heightMm }
  const isFilled = grey.length * gridMm ** 2 > leastFilled * widthMm * heightMm
  return isFilled && Math.min(widthMm, heightMm) >= leastCardMm ? rect : null
}

const leastFilled = 0.75

/** @param light  null: the paper has run into the file's limit, all over */
function isGrey(
  pixels: Pixels,
  tables: DecodeTables,
  page: SheetPage,
  point: Point,
  light: PaperLight | null,
): boolean {
  const [x, y] = mapPoint(page.toPhoto, point)
  const [px, py] = [Math.floor(x), Math.floor(y)]
  if (!(px >= 0 && py >= 0 && px < pixels.width && py < pixels.height)) return false
  const i = (py * pixels.width + px) * 3
  const factor = light?.map.factor([x, y]) ?? [1, 1, 1]
  const white = light?.white ?? [1, 1, 1]
  const share = ([0, 1, 2] as const).map((c) => (tables[c][pixels.data[i + c]!]! * factor[c]) / white[c]) as Triple
  const [least, most] = [Math.min(...share), Math.max(...share)]
  return least > cardShare.least && most < cardShare.most && most - least < cardTint * (most + least)
}
