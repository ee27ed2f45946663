import { layOutCard } from '../../shared-core/label/card/layout.ts'
import { layOutCupLabel } from '../../shared-core/label/cup/layout.ts'
import { layOutPhotoSheet } from '../../shared-core/label/photo-sheet/layout.ts'
import { calibrationPage } from '../../shared-core/label/sheet/calibration-page.ts'
import { byGround, layOutIndex } from '../../shared-core/label/sheet/index-pages.ts'
import { layOutOnGrid, mustFit } from '../../shared-core/label/sheet/on-grid.ts'
import { nothingSaid, type SafetySaid } from '../../shared-core/label/text.ts'
import type { LabelMark, LabelSize } from '../../shared-core/records/label.ts'
import type { Panel, PanelSummary } from '../../shared-core/records/panel.ts'
import type {
  CupLabelsWanted,
  IndexWanted,
  LabelStock,
  PhotoSheetsWanted,
  Printable,
  SheetPage,
} from '../../shared-core/records/sheet.ts'
import { measureText } from './fonts.ts'
import { layOutLabels } from './labels.ts'
import { qrRows } from './qr.ts'

/**
 * Pages of everything that is printed at once.
 * @param panels  those that are asked for, in order; none for cups and the calibration page
 * @throws Refusal `label/too-small`, `sheet/does-not-fit`
 */
export async function layOutPrintable(
  wanted: Printable,
  panels: readonly Panel[],
  said: SafetySaid = nothingSaid,
): Promise<SheetPage[]> {
  // a grid that cannot be is no question of what stands on a label
  if ('stock' in wanted && wanted.stock.on === 'grid') mustFit(wanted.stock.grid, wanted.stock.start)
  switch (wanted.kind) {
    case 'labels': {
      const size = labelSizeOf(wanted.stock)
      const pages = await layOutLabels(panels, size, wanted.wording, new Set(wanted.shows), said)
      // copies of one panel's label follow each other
      const byPanel = panels.map(({ id }) => pages.filter(({ panelId }) => panelId === id).map(({ marks }) => marks))
      return onStock(repeated(byPanel, wanted.copies), wanted.stock)
    }
    case 'cups':
      return onStock(repeated(await layOutCups(wanted), wanted.copies), wanted.stock)
    case 'cards': {
      const shows = new Set(wanted.shows)
      const cards: SheetPage[] = []
      for (const panel of panels) {
        const rows = await qrRows(panel.code)
        const drawn = layOutCard(panel, wanted.size, wanted.wording, measureText, () => rows, shows, said)
        cards.push(...drawn.map((marks) => ({ size: wanted.size, marks })))
      }
      return cards
    }
    case 'photo-sheets':
      return layOutPhotoSheets(wanted, panels)
    case 'calibration':
      return [calibrationPage(wanted.size, wanted.corrected, measureText)]
  }
}

async function layOutPhotoSheets(wanted: PhotoSheetsWanted, panels: readonly Panel[]): Promise<SheetPage[]> {
  const pages: SheetPage[] = []
  for (const panel of wanted.panelIds.length === 0 ? [null] : panels) {
    const rows = panel === null ? [] : await qrRows(panel.code)
    pages.push(layOutPhotoSheet(wanted, panel, measureText, () => rows))
  }
  return pages
}

async function layOutCups(wanted: CupLabelsWanted): Promise<LabelMark[][][]> {
  const size = labelSizeOf(wanted.stock)
  const wording = { ...wanted.wording, clock: wanted.clock }
  const cups: LabelMark[][][] = []
  for (const cup of wanted.cups) {
    const rows = await qrRows(cup.code)
    const pages = layOutCupLabel(cup, size, wording, measureText, () => rows, new Set(wanted.shows))
    cups.push(pages.map(({ marks }) => marks))
  }
  return cups
}

const labelSizeOf = (stock: LabelStock): LabelSize => (stock.on === 'roll' ? stock.size : stock.grid.label)

const repeated = (sets: readonly LabelMark[][][], copies: number): LabelMark[][] =>
  sets.flatMap((set) => Array.from({ length: copies }, () => set).flat())

const onStock = (labels: readonly LabelMark[][], stock: LabelStock): SheetPage[] =>
  stock.on === 'roll'
    ? labels.map((marks) => ({ size: stock.size, marks }))
    : layOutOnGrid(labels, stock.grid, stock.start)

const sortWords: Record<IndexWanted['sort'], string> = {
  code: 'code',
  hue: 'hue',
  lightness: 'lightness',
  ground: 'ground',
  candy: 'candy',
  date: 'date',
}

/** @param panels in the order of the wall */
export function layOutRackIndex(
  panels: readonly PanelSummary[],
  rackName: string,
  { paper, columns, groupByGround, sort, shows, wording }: IndexWanted,
): SheetPage[] {
  const groups = groupByGround ? byGround(panels) : [{ name: null, panels }]
  const count = panels.length === 1 ? '1 panel' : `${panels.length} panels`
  const below = `${count}, sorted by ${sortWords[sort]}`
  return layOutIndex(groups, paper, columns, { title: rackName, below, wording, shows: new Set(shows) }, measureText)
}
