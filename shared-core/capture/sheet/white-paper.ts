import type { DecodeTables } from '../../colour/profile.ts'
import { coveredPlaces } from '../../label/photo-sheet/places.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Point, Quad } from '../../records/area.ts'
import { isConvex, mapPoint, middleOf, pointInQuad, shrinkQuad } from '../geometry.ts'
import { fullOf, type Pixels, type Triple } from '../pixels.ts'
import { quantile } from '../statistics.ts'
import { quadOnPhoto, type SheetPage } from './page.ts'

/** A small square of bare paper. */
export type WhiteCell = {
  /** Its middle: millimetres of the page, and photo pixels. */
  page: Point
  middle: Point
  /** Mean linear light by the file's profile. */
  mean: Triple
  /** Channels that have run into the file's limit and tell nothing. */
  out: readonly [boolean, boolean, boolean]
}

export type WhitePaper = {
  cells: WhiteCell[]
  /** Share of the squares looked at that have run into the file's limit in all channels. */
  overexposed: number
}

const pitchMm = 3
const sideMm = 2
/** Looked at along each side of a square. */
const samples = 4
/** Paper curls at its edge, and a printer leaves its marks there. */
const edgeMm = 4
const printedMarginMm = 1
/** A panel or card may lie a little off its place, and it throws a shadow. */
const laidMarginMm = 3
/** Squares whose pixels scatter this many times more than usual show a line, a hair, a letter. */
const mostScatter = 2.5
const leastScatter = 0.01
const mostAtLimit = 0.1
const mostOverexposed = 0.4
/** Darker than this is no paper in any light. */
const darkest = 0.01

/**
 * The bare paper of a sheet: all that nothing is printed on and nothing lies on, as far as its places tell. What lies there
 * all the same is left to whoever fits a surface through the squares.
 * @param outlines  everything marked in the photo
 */
export function whitePaperOf(
  pixels: Pixels,
  tables: DecodeTables,
  page: SheetPage,
  outlines: readonly Quad[],
): WhitePaper {
  const { paper } = page.places
  const covered = coveredOf(page, outlines)
  const marked = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.05))
  const seen: { cell: WhiteCell; scatter: number }[] = []
  let [looked, overexposed] = [0, 0]
  for (let y = edgeMm; y + sideMm <= paper.heightMm - edgeMm; y += pitchMm) {
    for (let x = edgeMm; x + sideMm <= paper.widthMm - edgeMm; x += pitchMm) {
      if (covered.some((rect) => overlaps(rect, x, y))) continue
      const at: Point = [x + sideMm / 2, y + sideMm / 2]
      const middle = mapPoint(page.toPhoto, at)
      if (marked.some((quad) => pointInQuad(middle, quad))) continue
      const found = meanOver(pixels, tables, page, [x, y])
      if (!found) continue
      looked++
      const out = found.atLimit.map((share) => share > mostAtLimit) as [boolean, boolean, boolean]
      if (out.every(Boolean)) overexposed++
      else if (Math.max(...found.mean) > darkest)
        seen.push({ cell: { page: at, middle, mean: found.mean, out }, scatter: found.scatter })
    }
  }
  const usual = quantile(
    seen.map(({ scatter }) => scatter),
    0.5,
  )
  const most = mostScatter * Math.max(usual, leastScatter)
  const cells = seen.flatMap(({ cell, scatter }) => (scatter <= most ? [cell] : []))
  const share = looked > 0 ? overexposed / looked : 0
  // what is left of it lies in the darkest corner: a surface through that says nothing of the rest
  return { cells: share > mostOverexposed ? [] : cells, overexposed: share }
}

/**
 * All that is printed, and the places that things are laid on, with their margins. A place of its own for the chart is bare
 * while nothing is marked in it.
 */
function coveredOf(page: SheetPage, outlines: readonly Quad[]): Rect[] {
  const { places } = page
  const { window, card, chart, shared } = places
  const place = quadOnPhoto(page, chart)
  const isBare = !shared && !outlines.some((quad) => isConvex(quad) && pointInQuad(middleOf(quad), place))
  const laid = isBare ? [window, card] : [window, card, chart]
  const printed = coveredPlaces(places).filter((rect) => !isBare || !within(chart, rect))
  return [
    ...printed.map((rect) => grown(rect, printedMarginMm)),
    ...laid.map((rect) => grown(rect, laidMarginMm)),
    // angles stand outside of it
    ...(isBare ? frameOf(chart) : []),
  ]
}

const grown = ({ xMm, yMm, widthMm, heightMm }: Rect, mm: number): Rect => ({
  xMm: xMm - mm,
  yMm: yMm - mm,
  widthMm: widthMm + 2 * mm,
  heightMm: heightMm + 2 * mm,
})

/** Whether a rectangle is the place itself, with or without its angles. */
function within(place: Rect, rect: Rect): boolean {
  const { xMm, yMm, widthMm, heightMm } = grown(place, laidMarginMm)
  const [right, bottom] = [rect.xMm + rect.widthMm, rect.yMm + rect.heightMm]
  return rect.xMm >= xMm && rect.yMm >= yMm && right <= xMm + widthMm && bottom <= yMm + heightMm
}

/** A border of a few millimetres around a place, where its angles are printed. */
function frameOf(place: Rect): Rect[] {
  const { xMm, yMm, widthMm, heightMm } = grown(place, laidMarginMm)
  const thick = 2 * laidMarginMm
  return [
    { xMm, yMm, widthMm, heightMm: thick },
    { xMm, yMm: yMm + heightMm - thick, widthMm, heightMm: thick },
    { xMm, yMm, widthMm: thick, heightMm },
    { xMm: xMm + widthMm - thick, yMm, widthMm: thick, heightMm },
  ]
}

const overlaps = ({ xMm, yMm, widthMm, heightMm }: Rect, x: number, y: number): boolean =>
  x < xMm + widthMm && x + sideMm > xMm && y < yMm + heightMm && y + sideMm > yMm

function meanOver(pixels: Pixels, [red, green, blue]: DecodeTables, { toPhoto }: SheetPage, [x, y]: Point) {
  const { data, width, height } = pixels
  const full = fullOf(pixels)
  const sums: Triple = [0, 0, 0]
  const atLimit: Triple = [0, 0, 0]
  let squares = 0
  const count = samples * samples
  for (let n = 0; n < count; n++) {
    const at: Point = [
      x + (((n % samples) + 0.5) * sideMm) / samples,
      y + ((Math.floor(n / samples) + 0.5) * sideMm) / samples,
    ]
    const [px, py] = mapPoint(toPhoto, at).map(Math.floor) as Point
    if (!(px >= 0 && px < width && py >= 0 && py < height)) return null
    const i = (py * width + px) * 3
    const [r, g, b] = [data[i]!, data[i + 1]!, data[i + 2]!]
    if (r === full) atLimit[0] += 1 / count
    if (g === full) atLimit[1] += 1 / count
    if (b === full) atLimit[2] += 1 / count
    const light: Triple = [red[r]!, green[g]!, blue[b]!]
    const sum = light[0] + light[1] + light[2]
    for (let c = 0; c < 3; c++) sums[c]! += light[c]! / count
    squares += (sum * sum) / count
  }
  const total = sums[0] + sums[1] + sums[2]
  const scatter = Math.sqrt(Math.max(0, squares - total * total)) / Math.max(total, 1e-6)
  return { mean: sums, scatter, atLimit }
}
