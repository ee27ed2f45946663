import { z } from 'zod'
import { LabelMark, LabelSize, LabelWording } from './label.ts'
import { Mixture } from './mixture.ts'
import { PanelFilter, PanelSort } from './panel.ts'

/** What is printed besides single labels: sheets, cards, the index. Millimetres from the page's top left corner, y down. */

export const PaperSize = z.object({ widthMm: z.number().min(20).max(450), heightMm: z.number().min(12).max(450) })
export type PaperSize = z.infer<typeof PaperSize>

/** Labels in columns and rows on one sheet of paper. Whether they fit on it is looked at apart, with the reason. */
export const LabelGrid = z.object({
  paper: PaperSize,
  /** From the paper's edges to the first label. */
  leftMm: z.number().min(0).max(200),
  topMm: z.number().min(0).max(200),
  columns: z.int().min(1).max(30),
  rows: z.int().min(1).max(60),
  label: LabelSize,
  /** Between two labels. */
  gapXMm: z.number().min(0).max(100),
  gapYMm: z.number().min(0).max(100),
})
export type LabelGrid = z.infer<typeof LabelGrid>

/** What can be ticked to stand on something that is printed; the code always does. */
export const Shown = z.enum([
  'title',
  'formula',
  'coats',
  'ground',
  'layers',
  'gun',
  'booth',
  'date',
  'notes',
  'qr',
  'cautions',
])
export type Shown = z.infer<typeof Shown>

/** What a printer does to a page: lengths in per cent of what was asked, and how far everything lies right and down. */
export const Calibration = z.object({
  scaleXPercent: z.number().min(80).max(125),
  scaleYPercent: z.number().min(80).max(125),
  offsetXMm: z.number().min(-30).max(30),
  offsetYMm: z.number().min(-30).max(30),
})
export type Calibration = z.infer<typeof Calibration>

/** One printer takes whole pages, another rolls of labels: each is put right for itself. */
export const Printer = z.enum(['paper', 'labels'])
export type Printer = z.infer<typeof Printer>

/** Kept on this computer: what was chosen last. */
export const Printing = z.object({
  labelSize: LabelSize,
  grid: LabelGrid,
  cardSize: LabelSize,
  paper: PaperSize,
  /** Size of the panels that photo sheets are for. */
  photoPanel: LabelSize,
  /** Number of the printer, ink and paper in use, on every photo sheet printed with them; 0: none is chosen yet. */
  sheetSeries: z.int().min(0).max(65_535),
  indexColumns: z.int().min(2).max(10),
  shows: z.object({
    label: z.array(Shown),
    card: z.array(Shown),
    cup: z.array(Shown),
    index: z.array(Shown),
  }),
  calibration: z.object({ paper: Calibration, labels: Calibration }),
})
export type Printing = z.infer<typeof Printing>

export const SheetMark = z.discriminatedUnion('kind', [
  ...LabelMark.options,
  /** A picture by its key (`cut/…`), filling the rectangle; what stands over is cut off evenly. */
  z.object({
    kind: z.literal('picture'),
    xMm: z.number(),
    yMm: z.number(),
    widthMm: z.number().positive(),
    heightMm: z.number().positive(),
    key: z.string(),
  }),
  /** A flat colour in sRGB, `#rrggbb`. */
  z.object({
    kind: z.literal('paint'),
    xMm: z.number(),
    yMm: z.number(),
    widthMm: z.number().positive(),
    heightMm: z.number().positive(),
    hex: z.string().regex(/^#[0-9a-f]{6}$/),
  }),
])
export type SheetMark = z.infer<typeof SheetMark>

export const SheetPage = z.object({ size: PaperSize, marks: z.array(SheetMark) })
export type SheetPage = z.infer<typeof SheetPage>

/** How a page is drawn so that it comes out as it was laid out: lengths times scale, then moved. */
export const Placement = z.object({
  scaleX: z.number().positive(),
  scaleY: z.number().positive(),
  moveXMm: z.number(),
  moveYMm: z.number(),
})
export type Placement = z.infer<typeof Placement>

/** Single labels on a roll, or a grid of them on paper, beginning at a label of a sheet that is partly used. */
export const LabelStock = z.discriminatedUnion('on', [
  z.object({ on: z.literal('roll'), size: LabelSize }),
  z.object({ on: z.literal('grid'), grid: LabelGrid, start: z.int().min(1).max(1800) }),
])
export type LabelStock = z.infer<typeof LabelStock>

/** A cup as its label tells it. */
export const CupLabel = z.object({
  /** The cup's own code, large, and what the symbol says. */
  code: z.string().trim().min(1).max(24),
  /** Job or panel that it is for, in words. */
  about: z.string().max(200),
  mixture: Mixture.nullable(),
  /** ISO date and time. */
  mixedAt: z.string(),
  mixedBy: z.string().max(120),
  /** When hardener went in; null: as it was mixed. */
  hardenerAt: z.string().nullable(),
  /** Minutes it can be sprayed for from then; null where nothing hardens. */
  potLifeMin: z.number().positive().max(100_000).nullable(),
  /** The panel that it is for. */
  panelCode: z.string().max(24).nullable(),
  /** By a material's id, whether its safety data sheet names isocyanates; who is not in it goes by its kind. */
  isocyanates: z.record(z.string(), z.boolean()).optional(),
})
export type CupLabel = z.infer<typeof CupLabel>

const copies = z.int().min(1).max(99)
const panelIds = z.array(z.string()).min(1).max(500)
const shows = z.array(Shown)

export const LabelsWanted = z.object({
  kind: z.literal('labels'),
  panelIds,
  stock: LabelStock,
  copies,
  shows,
  wording: LabelWording,
})
export const CupLabelsWanted = z.object({
  kind: z.literal('cups'),
  cups: z.array(CupLabel).min(1).max(60),
  stock: LabelStock,
  copies,
  shows,
  wording: LabelWording,
  clock: z.enum(['12', '24']),
})
export type CupLabelsWanted = z.infer<typeof CupLabelsWanted>
export const CardsWanted = z.object({
  kind: z.literal('cards'),
  panelIds,
  size: LabelSize,
  shows,
  wording: LabelWording,
})
/** Pages to lay a panel on for its photo. */
export const PhotoSheetsWanted = z.object({
  kind: z.literal('photo-sheets'),
  /** None: one sheet for any panel. */
  panelIds: z.array(z.string()).max(500),
  paper: PaperSize,
  panel: LabelSize,
  series: z.int().min(0).max(65_535),
})
export type PhotoSheetsWanted = z.infer<typeof PhotoSheetsWanted>
export const CalibrationWanted = z.object({
  kind: z.literal('calibration'),
  printer: Printer,
  size: PaperSize,
  /** Drawn with what was typed in before, to look whether it is right now. */
  corrected: z.boolean(),
})
/** The whole rack in pictures, or what is chosen of it, as it hangs on the wall. */
export const IndexWanted = z.object({
  kind: z.literal('index'),
  /** Null: all that the filter lets through. */
  panelIds: z.array(z.string()).max(20_000).nullable(),
  filter: PanelFilter,
  sort: PanelSort,
  groupByGround: z.boolean(),
  paper: PaperSize,
  columns: z.int().min(2).max(10),
  shows,
  wording: LabelWording,
})
export type IndexWanted = z.infer<typeof IndexWanted>

/** What goes to a printer or into a PDF at once. */
export const Printable = z.discriminatedUnion('kind', [
  LabelsWanted,
  CupLabelsWanted,
  CardsWanted,
  PhotoSheetsWanted,
  CalibrationWanted,
])
export type Printable = z.infer<typeof Printable>

export const asDrawn: Calibration = { scaleXPercent: 100, scaleYPercent: 100, offsetXMm: 0, offsetYMm: 0 }

/** 21 labels on an A4 page: usual measures, common practice, no source. */
export const usualPrinting: Printing = {
  labelSize: { widthMm: 62, heightMm: 29 },
  grid: {
    paper: { widthMm: 210, heightMm: 297 },
    leftMm: 7.2,
    topMm: 15.1,
    columns: 3,
    rows: 7,
    label: { widthMm: 63.5, heightMm: 38.1 },
    gapXMm: 2.5,
    gapYMm: 0,
  },
  cardSize: { widthMm: 105, heightMm: 148 },
  paper: { widthMm: 210, heightMm: 297 },
  photoPanel: { widthMm: 100, heightMm: 150 },
  sheetSeries: 0,
  indexColumns: 6,
  shows: {
    label: ['title', 'formula', 'coats', 'ground', 'layers', 'gun', 'date', 'qr', 'cautions'],
    card: [...Shown.options],
    cup: ['title', 'formula', 'date', 'qr', 'cautions'],
    index: ['title', 'coats', 'ground'],
  },
  calibration: { paper: asDrawn, labels: asDrawn },
}
