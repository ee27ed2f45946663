import { Refusal } from '../../contract/refusal.ts'
import { arrangements, gapMm } from './arrangements.ts'
import { inHalves } from './corner-mark.ts'
import { colours, greys, greysAgain } from './inks.ts'
import { bottomOf, type Patch, patchPlaces, type Rect, type Size } from './room.ts'

/**
 * Where everything lies on a photo sheet: what is printed by it is read by it. Everything follows from the sizes of page and panel,
 * in whole halves of a millimetre, as the corner marks say them; the page itself may be up to 0.25 mm larger or smaller.
 */
export type PhotoSheetPlaces = {
  paper: Size
  /** Outer outlines of the corner marks: top left, top right, bottom right, bottom left. */
  corners: readonly [Rect, Rect, Rect, Rect]
  /** The panel covers this. */
  window: Rect
  /** A grey card, and a chart of 24 patches, upright or lying. */
  card: Rect
  chart: Rect
  /** Where a large panel leaves no room for both, the card's place lies in the middle of the chart's. */
  shared: boolean
  /** Greys from bare paper to black; some are there twice, far from each other, and then stand side by side in this list. */
  steps: readonly Patch[]
  colours: readonly Patch[]
  /** The symbol with the panel's code; beside it the code in large letters. */
  symbol: Rect
  head: Rect
  words: Rect
}

/** Printers leave this much blank (common practice, no source). */
const edgeMm = 10
/** Cells of 1.6 mm: 7 pixels where a page of A4 fills a photo of 1600 × 1200. */
export const markMm = 19.2
const symbolMm = 20
/** The angles that show where things are laid stand so far outside of them, and are so thick. */
export const angleMm = { off: 1, thick: 0.3 }

/**
 * @param paper, panel  any; rounded to halves of a millimetre
 * @throws Refusal `sheet/does-not-fit` when there is no room for the panel, a card or chart, and the white between them
 */
export function photoSheetPlaces(paper: Size, panel: Size): PhotoSheetPlaces {
  const page = { widthMm: inHalves(paper.widthMm), heightMm: inHalves(paper.heightMm) }
  const covered = { widthMm: inHalves(panel.widthMm), heightMm: inHalves(panel.heightMm) }
  const [right, bottom] = [page.widthMm - edgeMm - markMm, page.heightMm - edgeMm - markMm]
  const corner = (xMm: number, yMm: number): Rect => ({ xMm, yMm, widthMm: markMm, heightMm: markMm })
  const corners = [
    corner(edgeMm, edgeMm),
    corner(right, edgeMm),
    corner(right, bottom),
    corner(edgeMm, bottom),
  ] as const
  const between = edgeMm + markMm + gapMm
  const band: Rect = { xMm: between, yMm: bottom, widthMm: page.widthMm - 2 * between, heightMm: markMm }
  const top = edgeMm + symbolMm + gapMm
  const inner: Rect = {
    xMm: edgeMm,
    yMm: top,
    widthMm: page.widthMm - 2 * edgeMm,
    heightMm: bottom - gapMm - top,
  }
  for (const { rooms, ...laid } of arrangements({ inner, band }, covered)) {
    const inks = inkPlaces(rooms, rooms[0]?.yMm === band.yMm)
    if (inks === null || band.widthMm < symbolMm + gapMm + 20) continue
    const symbol = { xMm: band.xMm, yMm: edgeMm, widthMm: symbolMm, heightMm: symbolMm }
    const head = {
      xMm: band.xMm + symbolMm + gapMm,
      yMm: edgeMm,
      widthMm: band.widthMm - symbolMm - gapMm,
      heightMm: symbolMm,
    }
    return { paper: page, corners, ...laid, ...inks, symbol, head }
  }
  throw new Refusal(
    'sheet/does-not-fit',
    `A panel of ${round(panel.widthMm)} × ${round(panel.heightMm)} mm has no room on this page beside the card and the white that shows the light.`,
    'Choose a larger page, or photograph this panel without a sheet, beside the card.',
  )
}

/** One row of greys along the foot of the page where it is free; the colours, with some greys among them, in the other rooms. */
function inkPlaces(rooms: readonly Rect[], withBand: boolean): Pick<PhotoSheetPlaces, 'steps' | 'colours'> | null {
  const mixed = amongColours(greysAgain)
  const inks = [...greys, ...mixed]
  if (!withBand) return laidInto(patchPlaces(rooms, inks.length), inks)
  const row = patchPlaces(rooms.slice(0, 1), greys.length)
  const others = patchPlaces(rooms.slice(1), mixed.length)
  if (row !== null && others !== null) return laidInto([...row, ...others], inks)
  const few = [...greys, ...colours]
  return laidInto(patchPlaces(rooms, few.length), few)
}

const amongColours = (some: readonly string[]): string[] =>
  colours.flatMap((hex, at) => (at % 3 === 1 && some[(at - 1) / 3] !== undefined ? [hex, some[(at - 1) / 3]!] : [hex]))

const greyHexes: readonly string[] = greys

function laidInto(
  places: readonly Rect[] | null,
  inks: readonly string[],
): Pick<PhotoSheetPlaces, 'steps' | 'colours'> | null {
  if (places === null) return null
  const patches = places.map((place, at): Patch => ({ ...place, hex: inks[at]! }))
  const rank = ({ hex }: Patch): number => greyHexes.indexOf(hex)
  return {
    steps: patches.filter((patch) => rank(patch) >= 0).toSorted((a, b) => rank(a) - rank(b)),
    colours: patches.filter((patch) => rank(patch) < 0),
  }
}

const grown = ({ xMm, yMm, widthMm, heightMm }: Rect, byMm: number): Rect => ({
  xMm: xMm - byMm,
  yMm: yMm - byMm,
  widthMm: widthMm + 2 * byMm,
  heightMm: heightMm + 2 * byMm,
})

/** Everything that is not bare paper, or need not be: what is printed, with its words, and what is laid on the sheet, with its angles. */
export function coveredPlaces(places: PhotoSheetPlaces): Rect[] {
  const { corners, window, card, chart, steps, colours: tints, symbol, head, words } = places
  const laid = [window, card, chart].map((rect) => grown(rect, angleMm.off + angleMm.thick))
  return [...corners, ...laid, ...steps, ...tints, symbol, head, words].filter((rect) => bottomOf(rect) > rect.yMm)
}

const round = (mm: number): number => Number(mm.toFixed(1))
