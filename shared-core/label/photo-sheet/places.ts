import { Refusal } from '../../contract/refusal.ts'
import type { PaperSize } from '../../records/sheet.ts'

/** Millimetres from the page's top left corner, y down. */
export type Rect = { xMm: number; yMm: number; widthMm: number; heightMm: number }
export type Patch = Rect & { hex: string }

/** Where everything lies on a photo sheet: what is printed by it is read by it. */
export type PhotoSheetPlaces = {
  paper: PaperSize
  /** Symbols in the corners, without quiet zone: top left, top right, bottom right, bottom left. */
  corners: readonly [Rect, Rect, Rect, Rect]
  /** The panel covers this. */
  window: Rect
  /** A grey card or a pocket chart of 24 patches. */
  card: Rect
  /** Greys from white to black, then colours. */
  patches: readonly Patch[]
  /** Between the upper symbols: the code in large letters. */
  head: Rect
  /** The panel's own symbol, and below or beside it what to mind. */
  symbol: Rect
  words: Rect
}

/** Printers leave this much blank (common practice, no source). */
const edgeMm = 10
const cornerMm = 18
/** A quiet zone of 4 modules of 25 (ISO/IEC 18004), and white between everything, so that the paper shows the light. */
const gapMm = 6
/** Room for a pocket chart of 24 patches, about 108 × 64 mm, and for a card of the size of a bank card: from memory. */
const chart = { longMm: 112, shortMm: 68 }
const symbolMm = 20

/** sRGB greys, evenly spread in their codes, then colours: what a printer makes of them is not known before it is measured. */
const greys = ['#ffffff', '#dadada', '#b6b6b6', '#919191', '#6d6d6d', '#494949', '#242424', '#000000']
const colours = ['#d63c3c', '#d6c43c', '#3cb45a', '#3cb4c4', '#3c50c4', '#b43cb4']

/** @throws Refusal `sheet/does-not-fit` when there is no room for the panel, the card and the white between them */
export function photoSheetPlaces(paper: PaperSize, panel: { widthMm: number; heightMm: number }): PhotoSheetPlaces {
  const { widthMm: pageMm, heightMm: deepMm } = paper
  const [right, bottom] = [pageMm - edgeMm - cornerMm, deepMm - edgeMm - cornerMm]
  const corner = (xMm: number, yMm: number): Rect => ({ xMm, yMm, widthMm: cornerMm, heightMm: cornerMm })
  const corners = [
    corner(edgeMm, edgeMm),
    corner(right, edgeMm),
    corner(right, bottom),
    corner(edgeMm, bottom),
  ] as const
  const bandMm = { from: edgeMm + cornerMm + gapMm, to: pageMm - edgeMm - cornerMm - gapMm }
  const inner: Rect = {
    xMm: edgeMm,
    yMm: edgeMm + cornerMm + gapMm,
    widthMm: pageMm - 2 * edgeMm,
    heightMm: deepMm - 2 * (edgeMm + cornerMm + gapMm),
  }
  const rest = beside(inner, panel) ?? below(inner, panel)
  if (rest === null || bandMm.to - bandMm.from < 100) {
    throw new Refusal(
      'sheet/does-not-fit',
      `A panel of ${round(panel.widthMm)} × ${round(panel.heightMm)} mm has no room on this page beside the card and the white that shows the light.`,
      'Choose a larger page, or photograph this panel without a sheet, beside the card.',
    )
  }
  const all = [...greys, ...colours]
  const patchMm = (bandMm.to - bandMm.from) / all.length
  const patches = all.map((hex, at) => ({
    hex,
    xMm: bandMm.from + at * patchMm,
    yMm: bottom + 2,
    widthMm: patchMm,
    heightMm: cornerMm - 4,
  }))
  const head = { xMm: bandMm.from, yMm: edgeMm, widthMm: bandMm.to - bandMm.from, heightMm: cornerMm }
  return { paper, corners, patches, head, ...rest }
}

type Middle = Pick<PhotoSheetPlaces, 'window' | 'card' | 'symbol' | 'words'>

/** Card upright at the right of the panel; below it symbol and words. */
function beside(inner: Rect, panel: { widthMm: number; heightMm: number }): Middle | null {
  const leftMm = inner.widthMm - chart.shortMm - gapMm
  if (panel.widthMm > leftMm || panel.heightMm > inner.heightMm) return null
  const columnMm = inner.xMm + inner.widthMm - chart.shortMm
  const card = { xMm: columnMm, yMm: inner.yMm, widthMm: chart.shortMm, heightMm: chart.longMm }
  const belowMm = card.yMm + card.heightMm + gapMm
  return {
    window: centred({ ...inner, widthMm: leftMm }, panel),
    card,
    symbol: { xMm: columnMm, yMm: belowMm, widthMm: symbolMm, heightMm: symbolMm },
    words: {
      xMm: columnMm,
      yMm: belowMm + symbolMm + gapMm,
      widthMm: chart.shortMm,
      heightMm: inner.yMm + inner.heightMm - belowMm - symbolMm - gapMm,
    },
  }
}

/** Card lying below the panel; at its right symbol and words. */
function below(inner: Rect, panel: { widthMm: number; heightMm: number }): Middle | null {
  const highMm = inner.heightMm - chart.shortMm - gapMm
  if (panel.heightMm > highMm || panel.widthMm > inner.widthMm) return null
  const rowMm = inner.yMm + inner.heightMm - chart.shortMm
  const wordsMm = inner.xMm + chart.longMm + gapMm
  return {
    window: centred({ ...inner, heightMm: highMm }, panel),
    card: { xMm: inner.xMm, yMm: rowMm, widthMm: chart.longMm, heightMm: chart.shortMm },
    symbol: { xMm: wordsMm, yMm: rowMm, widthMm: symbolMm, heightMm: symbolMm },
    words: {
      xMm: wordsMm,
      yMm: rowMm + symbolMm + gapMm,
      widthMm: inner.xMm + inner.widthMm - wordsMm,
      heightMm: chart.shortMm - symbolMm - gapMm,
    },
  }
}

const centred = (room: Rect, { widthMm, heightMm }: { widthMm: number; heightMm: number }): Rect => ({
  xMm: room.xMm + (room.widthMm - widthMm) / 2,
  yMm: room.yMm + (room.heightMm - heightMm) / 2,
  widthMm,
  heightMm,
})

const round = (mm: number): number => Number(mm.toFixed(1))
