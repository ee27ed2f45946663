import type { Pixels } from '../../capture/pixels.ts'
import { type Corner, encodeMark } from '../../label/photo-sheet/corner-mark.ts'
import { type PhotoSheetPlaces, photoSheetPlaces } from '../../label/photo-sheet/places.ts'
import type { Point, Quad } from '../../records/area.ts'
import type { SheetPrint } from '../../records/photo-sheet.ts'
import type { FoundSheet } from '../../records/proposal.ts'
import { darkPlaces } from './dark-places.ts'
import { refinedOutline } from './edges.ts'
import { awayMm, fitPage, type PageFit, type Pair, pairsOf } from './fit-page.ts'
import { type Grey, greyOf, shrunk } from './grey.ts'
import { nudged } from './nudge.ts'
import { outlineOf } from './outline.ts'
import { likeness, readMark, type SeenMark, type Square, squareIn } from './read-mark.ts'
import { registered } from './register.ts'
import { sheetQuad } from './sheet-quad.ts'

/** Squares are looked for in a picture of about this many pixels a side, and measured in all that there are. */
const searchedSide = 1700
/** A mark is at least so many pixels wide where it is looked for: cells of less than two pixels say nothing. */
const leastSide = 22
/** And at most this share of the picture's shorter side. */
const mostShare = 0.45

/**
 * A photo sheet in a picture.
 * @param picture  upright; any size from about 3 pixels a millimetre of the sheet
 * @returns        null without two corner marks that say the same and lie as they do on the sheet. From three corners on it is
 *                 sure, from two a guess. A corner that is bent up is left out, told in `missing`, and `bentMm` says how far
 */
export function findSheet(picture: Pixels): FoundSheet | null {
  const grey = greyOf(picture)
  const squares = darkSquares(grey)
  const marks = squares.flatMap((square) => readMark(square) ?? [])
  let best: FoundSheet | null = null
  for (const same of alike(marks)) {
    const found = sheetFrom(grey, same, squares)
    if (found !== null && (best === null || found.confidence > best.confidence)) best = found
  }
  return best
}

function darkSquares(grey: Grey): Square[] {
  const by = Math.max(1, Math.round(Math.max(grey.width, grey.height) / searchedSide))
  const small = shrunk(grey, by)
  const most = mostShare * Math.min(small.width, small.height)
  const squares: Square[] = []
  for (const place of darkPlaces(small, { least: leastSide * 0.6, most })) {
    const rough = outlineOf(place)
    if (rough === null) continue
    const square = squareAt(grey, rough.map(([x, y]): Point => [x * by, y * by]) as Quad)
    if (square) squares.push(square)
  }
  return squares
}

/** Twice over: first whether there is anything like a mark, then exactly, from where the edges are. */
function squareAt(grey: Grey, rough: Quad): Square | null {
  const outline = refinedOutline(grey, rough, 'quickly')
  const exact = outline && squareIn(grey, outline) && refinedOutline(grey, outline, 'well')
  return exact && squareIn(grey, exact)
}

/** Marks that say the same, in sets of at most one for each corner. */
function alike(marks: readonly SeenMark[]): SeenMark[][] {
  const groups = new Map<string, Map<Corner, SeenMark[]>>()
  for (const mark of marks) {
    const key = JSON.stringify(mark.print)
    const group = groups.get(key) ?? new Map<Corner, SeenMark[]>()
    groups.set(key, group)
    group.set(mark.corner, [...(group.get(mark.corner) ?? []), mark])
  }
  return [...groups.values()].flatMap((group) => combined([...group.values()]))
}

/** Two sheets of one series in one picture: every way to take one mark for each corner, up to a number. */
const combined = (sets: readonly SeenMark[][]): SeenMark[][] =>
  sets.reduce<SeenMark[][]>(
    (before, marks) => before.flatMap((some) => marks.map((mark) => [...some, mark])).slice(0, 64),
    [[]],
  )

/** Marks lie as on one sheet when they leave no more than this. */
const mostAwayMm = 6

function sheetFrom(grey: Grey, marks: readonly SeenMark[], squares: readonly Square[]): FoundSheet | null {
  const [{ print }] = marks as [SeenMark]
  const places = placesOf(print)
  if (places === null) return null
  const seen = new Map(marks.map(({ corner, quad }) => [corner, cornerPairs(places, corner, quad)]))
  takeLike(squares, { print, places }, seen)
  if (seen.size < 2 || agreeing(seen) === null) return null
  lookForOthers(grey, { print, places }, seen)
  return settled(grey, { print, places }, seen)
}

/** The map that all of them agree on. */
function agreeing(seen: ReadonlyMap<Corner, Pair[]>): PageFit | null {
  const pairs = [...seen.values()].flat()
  const fit = fitPage(pairs)
  return fit === null || awayMm(fit, pairs) > mostAwayMm ? null : fit
}

const placesOf = (print: SheetPrint): PhotoSheetPlaces | null => {
  try {
    return photoSheetPlaces(print.paper, print.panel)
  } catch {
    // a page that cannot be laid out was not printed by us
    return null
  }
}

const cornerPairs = (places: PhotoSheetPlaces, corner: Corner, quad: Quad): Pair[] =>
  pairsOf(places.corners[corner - 1]!, quad)

const corners: readonly Corner[] = [1, 2, 3, 4]
/**
 * A square that cannot be read by itself is taken for a mark whose content is known when no more than this many of its 100 cells are
 * otherwise. Among random squares that is once in 10^9 (binomial), with every way of turning and sharpening once in 10^8.
 */
const mostOtherwise = 20

type Sheet = { print: SheetPrint; places: PhotoSheetPlaces }

const cellsOf = (print: SheetPrint, corner: Corner): number[] =>
  encodeMark(print, corner)
    .slice(1, -1)
    .flatMap((row) => Array.from(row.slice(1, -1), Number))

/** Squares whose content blur or glare kept from being read, where another mark says what it must be. */
function takeLike(squares: readonly Square[], { print, places }: Sheet, seen: Map<Corner, Pair[]>): void {
  for (const corner of corners) {
    if (seen.has(corner)) continue
    const expected = cellsOf(print, corner)
    const [best] = squares
      .map((square) => likeness(square, expected))
      .filter(({ otherwise }) => otherwise <= mostOtherwise)
      .toSorted((a, b) => a.otherwise - b.otherwise)
    if (!best) continue
    seen.set(corner, cornerPairs(places, corner, best.quad))
    if (agreeing(seen) === null) seen.delete(corner)
  }
}

/** Marks whose outline was not seen by itself, where the others say that they are: from the nearest known to the farthest. */
function lookForOthers(grey: Grey, { print, places }: Sheet, seen: Map<Corner, Pair[]>): void {
  for (const corner of corners) {
    const fit = seen.has(corner) ? null : agreeing(seen)
    if (fit === null) continue
    const { toPhoto } = fit
    const place = nudged(grey, toPhoto, places.corners[corner - 1]!, encodeMark(print, corner))
    const square = place && squareAt(grey, sheetQuad({ toPhoto: [...toPhoto] }, place))
    if (!square) continue
    const { otherwise, quad } = likeness(square, cellsOf(print, corner))
    if (otherwise > mostOtherwise) continue
    seen.set(corner, cornerPairs(places, corner, quad))
    if (agreeing(seen) === null) seen.delete(corner)
  }
}

/** A corner further than this from where the others say it is, is bent, where those others agree much better without it. */
const bentFromMm = 1.5
const muchBetter = 0.45

function settled(grey: Grey, { print, places }: Sheet, seen: ReadonlyMap<Corner, Pair[]>): FoundSheet | null {
  const all = fitPage([...seen.values()].flat())
  if (all === null) return null
  const apart = (fit: PageFit, some: Iterable<Pair[]>): number =>
    Math.max(...Array.from(some, (pairs) => awayMm(fit, pairs)))
  let kept = { fit: all, corners: [...seen.keys()], restMm: apart(all, seen.values()), bentMm: 0 }
  kept.bentMm = kept.restMm
  if (seen.size === 4) {
    for (const corner of seen.keys()) {
      const others = [...seen].filter(([other]) => other !== corner)
      const without = fitPage(others.flatMap(([, pairs]) => pairs))
      if (without === null) continue
      const restMm = apart(
        without,
        others.map(([, pairs]) => pairs),
      )
      const bentMm = awayMm(without, seen.get(corner)!)
      if (bentMm < bentFromMm || restMm > muchBetter * apart(all, seen.values()) || restMm >= kept.restMm) continue
      kept = { fit: without, corners: others.map(([other]) => other), restMm, bentMm }
    }
  }
  const { fit, restMm, bentMm } = kept
  const marks = kept.corners.map((corner) => ({ place: places.corners[corner - 1]!, rows: encodeMark(print, corner) }))
  const toPhoto = registered(grey, fit.toPhoto, marks) ?? fit.toPhoto
  return {
    print,
    toPhoto: [...toPhoto],
    missing: corners.filter((corner) => !kept.corners.includes(corner)),
    confidence: confidenceOf(kept.corners.length, restMm),
    bentMm,
  }
}

/** Our own choice: four corners that agree are as good as certain; what does not lie flat is told as doubtful. */
function confidenceOf(count: number, restMm: number): number {
  const sure = count === 4 ? 0.99 : count === 3 ? 0.95 : 0.45
  return sure * Math.exp(-Math.max(0, restMm - 0.6) / 2)
}
