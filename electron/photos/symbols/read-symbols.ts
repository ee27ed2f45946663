import {
  type Homography,
  homographyBetween,
  isConvex,
  mapPoint,
  type PixelBox,
  pointInQuad,
} from '../../../shared-core/capture/geometry.ts'
import type { Point, Quad } from '../../../shared-core/records/area.ts'
import type { SheetOnPhoto } from '../../../shared-core/records/photo-sheet.ts'
import type { FoundSymbol } from '../../../shared-core/records/proposal.ts'
import { candidates } from './candidates.ts'
import { enlarged, type Grey, halved, sharpened, upright, valueAt } from './grey.ts'
import { type Binarizer, type Sighting, sight } from './reader.ts'
import { refined } from './refine.ts'

/** Where a symbol should be: in millimetres on a sheet that was found. */
export type SymbolHints = { sheet?: SheetOnPhoto; place?: PlaceOnSheet }
export type PlaceOnSheet = { xMm: number; yMm: number; widthMm: number; heightMm: number }

/** One way of looking at a window: enlarged, sharpened, dark and light told apart. */
type Look = { times: number; reach: number; amount: number; binarizer: Binarizer }
/** The quick one first; together they read nearly all that any of 32 did on rendered labels with blur of 1 to 2 pixels. */
const looks: readonly Look[] = [
  { times: 1, reach: 2, amount: 4, binarizer: 'LocalAverage' },
  { times: 1, reach: 2, amount: 0, binarizer: 'LocalAverage' },
  { times: 2, reach: 3, amount: 4, binarizer: 'GlobalHistogram' },
  // large modules, out of focus
  { times: 1, reach: 6, amount: 4, binarizer: 'LocalAverage' },
  { times: 2, reach: 3, amount: 2, binarizer: 'LocalAverage' },
  { times: 3, reach: 5, amount: 2, binarizer: 'GlobalHistogram' },
]
/** Looks at a place in which nothing has the look of a symbol: at the most likely ones, and at the others. */
const looksAtLikely = 4
const looksAtOthers = 1
const likelyPlaces = 4
/** The same once it lies upright: at a fixed size. */
const uprightLooks: readonly { amount: number; binarizer: Binarizer }[] = [
  { amount: 2, binarizer: 'LocalAverage' },
  { amount: 4, binarizer: 'GlobalHistogram' },
  { amount: 0, binarizer: 'LocalAverage' },
  { amount: 8, binarizer: 'LocalAverage' },
]

/** A symbol seen from the side is drawn out so many times along the way in which it is short. */
const stretchedBy = 1.8
/** At the most likely places only, and where a symbol with small modules has room. */
const stretchedPlaces = 2
const stretchedReach = 200
/** Photo pixels become so many. */
const stretchedTimes = 1.4

/** Pixels that the reader is given besides the small picture: a limit to the work on pictures full of small print. */
const mostPixels = 2_500_000
const mostWindows = 16
/** One place alone takes no more of it, and no more than this is enlarged. */
const mostForOne = 1_000_000
const mostEnlarged = 700_000
const largestPicture = 210_000_000
const mostSymbols = 40
const nearPixels = 400_000

type Work = { grey: Grey; left: number; found: Read[] }
type Read = FoundSymbol & { modules: Sighting['modules'] }

/**
 * The QR symbols (ISO/IEC 18004) of an upright photo.
 *
 * Symbols with large modules are read at a quarter of the size. What is dark and light by turns both ways, as a symbol with small
 * modules is, is then looked at in the full picture, enlarged and sharpened; where there is a symbol that cannot be read as it lies, it is
 * laid upright first.
 * @param grey   lightness, as the file's numbers have it
 * @param hints  a sheet that was found, and where on it a symbol is printed
 * @returns      at most 40, each with its corners clockwise from its own top left, to a fraction of a pixel; texts have at most 500
 *               characters and no control characters. Empty for whatever is no picture: nothing is thrown
 */
export async function readSymbols(grey: Grey, hints: SymbolHints = {}): Promise<FoundSymbol[]> {
  const { width, height, data } = grey
  const isPicture = Number.isInteger(width) && Number.isInteger(height) && width >= 16 && height >= 16
  if (!isPicture || width * height > largestPicture || data.length !== width * height) return []
  const work: Work = { grey, left: mostPixels, found: [] }
  try {
    if (hints.sheet && hints.place) await readOnSheet(work, hints.sheet.toPhoto, hints.place)
    const half = halved(grey)
    const quarter = halved(half)
    const noticed: PixelBox[] = []
    for (const { text, quad, modules } of await sight(quarter, 'LocalAverage', false)) {
      const whole = quad.map(([x, y]) => [4 * x, 4 * y]) as Quad
      const box = boxOf(whole, 0.3)
      if (text === null) noticed.push(box)
      else {
        // its corners are seen better from near by
        const inside = box.width * box.height < nearPixels ? clipped(box, grey) : null
        if (inside) await readWindow(work, inside, 1)
        keep(work, { text, quad: whole, modules })
      }
    }
    const boxes = candidates(half, mostWindows).map(doubled)
    boxes.splice(likelyPlaces, 0, ...noticed.slice(0, likelyPlaces))
    for (const [i, box] of boxes.entries()) {
      if (work.left <= 0 || work.found.length >= mostSymbols) break
      const inside = clipped(box, grey)
      if (inside) await readWindow(work, inside, i < likelyPlaces ? looksAtLikely : looksAtOthers)
    }
    const likely = boxes.slice(0, stretchedPlaces)
    for (const box of likely) await readStretched(work, box)
  } catch {
    // a reader that stumbles over a picture has read what it has read
  }
  return work.found.map(({ text, quad }) => ({ text, quad }))
}

/** A symbol whose place is known. */
async function readOnSheet(work: Work, toPhoto: readonly number[], place: PlaceOnSheet): Promise<void> {
  if (toPhoto.length !== 9 || !toPhoto.every(Number.isFinite)) return
  const { xMm, yMm, widthMm, heightMm } = place
  const corners: Quad = [
    [xMm, yMm],
    [xMm + widthMm, yMm],
    [xMm + widthMm, yMm + heightMm],
    [xMm, yMm + heightMm],
  ]
  const quad = corners.map((corner) => mapPoint(toPhoto as unknown as Homography, corner)) as Quad
  await readUpright(work, quad)
}

async function readWindow(work: Work, box: PixelBox, looksAtNothing: number): Promise<void> {
  const middle: Point = [box.left + box.width / 2, box.top + box.height / 2]
  if (work.found.some(({ quad }) => isConvex(quad) && pointInQuad(middle, quad))) return
  const seen: Quad[] = []
  const least = work.left - mostForOne
  let isLaid = false
  for (const [i, { times, reach, amount, binarizer }] of looks.entries()) {
    if ((i >= looksAtNothing && seen.length === 0) || work.left < least) return
    if (times > 1 && box.width * box.height * times ** 2 > mostEnlarged) continue
    const { wide, high, data } = enlarged(work.grey, box, times)
    work.left -= wide * high
    const picture = sharpened(wide, high, data, reach, amount)
    let isRead = false
    for (const { text, quad, modules } of await sight(picture, binarizer, true)) {
      const whole = quad.map(([x, y]) => [box.left + x / times, box.top + y / times]) as Quad
      if (text === null) seen.push(whole)
      else isRead = keep(work, { text, quad: whole, modules }) || isRead
    }
    if (isRead || work.left <= 0) return
    // laid upright as soon as two looks have not read what was seen: looking again as it lies helps less
    if (isLaid || seen.length === 0 || i === 0) continue
    isLaid = true
    for (const quad of seen.slice(0, 2)) if (await readUpright(work, quad)) return
  }
}

/** Seen from the side a symbol's modules are too narrow one way for a reader that expects squares. */
async function readStretched(work: Work, box: PixelBox): Promise<void> {
  const middle: Point = [box.left + box.width / 2, box.top + box.height / 2]
  if (work.found.some(({ quad }) => pointInQuad(middle, quad))) return
  const reach = Math.max(box.width, box.height)
  if (reach > stretchedReach) return
  const side = Math.round(1.2 * stretchedTimes * reach)
  const inside = clipped(box, work.grey)
  if (!inside || work.left <= 0) return
  const turn = steepestWay(work.grey, inside)
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  const [along, across] = [1 / (stretchedBy * stretchedTimes), 1 / stretchedTimes]
  const [xx, xy, yy] = [c * c * along + s * s * across, c * s * (along - across), s * s * along + c * c * across]
  const off = side / 2
  const toPhoto: Homography = [xx, xy, middle[0] - (xx + xy) * off, xy, yy, middle[1] - (xy + yy) * off, 0, 0, 1]
  work.left -= side * side
  const picture = sharpened(side, side, drawnOut(work.grey, side, toPhoto), 4, 2)
  for (const { text, quad, modules } of await sight(picture, 'LocalAverage', true)) {
    if (text === null) continue
    const whole = quad.map((corner) => mapPoint(toPhoto, corner)) as Quad
    if (keep(work, { text, quad: whole, modules })) return
  }
}

/** The way along which light changes most: that in which modules are narrow. Structure tensor, its first axis. */
function steepestWay({ width, data }: Grey, { left, top, width: wide, height: high }: PixelBox): number {
  let [xx, xy, yy] = [0, 0, 0]
  for (let y = top + 1; y < top + high - 1; y++)
    for (let x = left + 1; x < left + wide - 1; x++) {
      const at = y * width + x
      const dx = data[at + 1]! - data[at - 1]!
      const dy = data[at + width]! - data[at - width]!
      xx += dx * dx
      xy += dx * dy
      yy += dy * dy
    }
  return Math.atan2(2 * xy, xx - yy) / 2
}

/** By an affine map that makes everything larger, so that one sample a pixel passes nothing over. */
function drawnOut(grey: Grey, side: number, [xx, xy, left, yx, yy, top]: Homography): Float32Array {
  const data = new Float32Array(side * side)
  for (let y = 0; y < side; y++)
    for (let x = 0; x < side; x++) {
      const [u, v] = [x + 0.5, y + 0.5]
      data[y * side + x] = valueAt(grey, xx * u + xy * v + left, yx * u + yy * v + top)
    }
  return data
}

/** Modules of the smallest symbols, with their quiet zone, and pixels for each. */
const uprightModules = 33
const modulePixels = 8

/** Lays what should be a symbol upright and reads it. */
async function readUpright(work: Work, quad: Quad): Promise<boolean> {
  if (!isConvex(quad)) return false
  const margin = 0.2
  const side = Math.round(uprightModules * modulePixels)
  const [near, far] = [(side * margin) / (1 + 2 * margin), (side * (1 + margin)) / (1 + 2 * margin)]
  const square: Quad = [
    [near, near],
    [far, near],
    [far, far],
    [near, far],
  ]
  const toPhoto = homographyBetween(square, quad)
  const data = upright(work.grey, side, side, toPhoto)
  for (const { amount, binarizer } of uprightLooks) {
    work.left -= side * side
    const picture = sharpened(side, side, data, modulePixels, amount)
    for (const sighting of await sight(picture, binarizer, true)) {
      if (sighting.text === null) continue
      const whole = sighting.quad.map((corner) => mapPoint(toPhoto, corner)) as Quad
      if (keep(work, { text: sighting.text, quad: whole, modules: sighting.modules })) return true
    }
  }
  return false
}

/** Each symbol once. @returns whether there is such a symbol now */
function keep(work: Work, read: Read): boolean {
  if (!isConvex(read.quad) || work.found.length >= mostSymbols) return false
  const middle = middleOf(read.quad)
  if (work.found.some(({ text, quad }) => text === read.text && pointInQuad(middle, quad))) return true
  const quad = read.modules ? refined(work.grey, read.quad, read.modules) : read.quad
  work.found.push({ ...read, quad })
  return true
}

const middleOf = (quad: Quad): Point => [
  quad.reduce((sum, [x]) => sum + x, 0) / 4,
  quad.reduce((sum, [, y]) => sum + y, 0) / 4,
]

const doubled = ({ left, top, width, height }: PixelBox): PixelBox => {
  // quiet zone and the blocks that hold only a corner of it; more would let in what lies beside it
  const pad = 20
  return { left: 2 * left - pad, top: 2 * top - pad, width: 2 * width + 2 * pad, height: 2 * height + 2 * pad }
}

const boxOf = (quad: Quad, margin: number): PixelBox => {
  const [xs, ys] = [quad.map(([x]) => x), quad.map(([, y]) => y)]
  const [left, top] = [Math.min(...xs), Math.min(...ys)]
  const [width, height] = [Math.max(...xs) - left, Math.max(...ys) - top]
  return {
    left: Math.floor(left - margin * width),
    top: Math.floor(top - margin * height),
    width: Math.ceil(width * (1 + 2 * margin)),
    height: Math.ceil(height * (1 + 2 * margin)),
  }
}

function clipped(box: PixelBox, { width, height }: Grey): PixelBox | null {
  const [left, top] = [Math.max(0, box.left), Math.max(0, box.top)]
  const [right, bottom] = [Math.min(width, box.left + box.width), Math.min(height, box.top + box.height)]
  return right - left < 16 || bottom - top < 16 ? null : { left, top, width: right - left, height: bottom - top }
}
