/**
 * Sheets, cards and the calibration page measured on their pixels at 300 dpi (0.085 mm a dot). Where labels lie is reckoned
 * here from the sheet's own measures: Letter, 3 × 10 labels of 2⅝ × 1 in, margins 3/16 and 1/2 in, gaps 1/8 in.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { drawPagesPdf } from '../../electron/print/draw-pages.ts'
import { layOutPrintable } from '../../electron/print/sheets.ts'
import { commonGrids } from '../../shared-core/label/sheet/grids.ts'
import { layOutOnGrid } from '../../shared-core/label/sheet/on-grid.ts'
import { placementOf, unplaced } from '../../shared-core/label/sheet/placement.ts'
import type { LabelMark } from '../../shared-core/records/label.ts'
import { type Calibration, type Printable, usualPrinting } from '../../shared-core/records/sheet.ts'
import { longPanel, panelWith } from '../unit/label-panels.ts'
import { darkExtent, rasterise, readQr } from './raster.ts'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'sheet-pdf-'))
})
afterAll(() => rm(folder, { recursive: true }))

const toleranceMm = 0.2
const inch = 25.4
const letter = commonGrids.find(({ name }) => name.startsWith('Letter, 3'))!.grid
const wording = { decimal: 'point', units: 'metric' } as const
/** A printer that is off: what is drawn at x comes out at scale · x + offset. */
const off: Calibration = { scaleXPercent: 99.1, scaleYPercent: 100.7, offsetXMm: 1.3, offsetYMm: -0.8 }

const printers = [
  { what: 'as drawn', placement: unplaced, onPaper: { x: (v: number) => v, y: (v: number) => v } },
  {
    what: 'put right for a printer that is off',
    placement: placementOf(off),
    onPaper: {
      x: (v: number) => (off.scaleXPercent / 100) * v + off.offsetXMm,
      y: (v: number) => (off.scaleYPercent / 100) * v + off.offsetYMm,
    },
  },
]

describe.each(printers)('labels on a sheet, $what', ({ placement, onPaper, what }) => {
  it('lie where the sheet has them, within 0.2 mm', async () => {
    // each label all black, but for a rim by which neighbours are told apart
    const rim = 2
    const black: LabelMark = {
      kind: 'box',
      xMm: rim,
      yMm: rim,
      widthMm: (21 / 8) * inch - 2 * rim,
      heightMm: inch - 2 * rim,
    }
    const start = 4
    const pages = layOutOnGrid(
      Array.from({ length: 28 }, () => [black]),
      letter,
      start,
    )
    expect(pages).toHaveLength(2)
    const file = join(folder, `positions ${what}.pdf`)
    await drawPagesPdf(pages, file, { title: 'positions', placement })
    const [first, second] = await rasterise(file, 300)
    expect(first?.widthMm).toBeCloseTo(215.9, 3)
    expect(first?.heightMm).toBeCloseTo(279.4, 3)
    const measure = (raster: typeof first, place: number) => {
      const left = (3 / 16 + (place % 3) * (21 / 8 + 1 / 8)) * inch
      const top = (1 / 2 + Math.floor(place / 3)) * inch
      const drawn = darkExtent(raster!, left - 1, top - 1, left + (21 / 8) * inch + 1, top + inch + 1)
      return { left, top, drawn }
    }
    for (let place = 0; place < start - 1; place++)
      expect(measure(first, place).drawn.width).toBe(Number.NEGATIVE_INFINITY)
    for (let place = start - 1; place < 30; place++) {
      const { left, top, drawn } = measure(first, place)
      expect(Math.abs(onPaper.x(drawn.left) - (left + rim))).toBeLessThanOrEqual(toleranceMm)
      expect(Math.abs(onPaper.y(drawn.top) - (top + rim))).toBeLessThanOrEqual(toleranceMm)
      const right = onPaper.x(drawn.left + drawn.width)
      const bottom = onPaper.y(drawn.top + drawn.height)
      expect(Math.abs(right - (left + (21 / 8) * inch - rim))).toBeLessThanOrEqual(toleranceMm)
      expect(Math.abs(bottom - (top + inch - rim))).toBeLessThanOrEqual(toleranceMm)
    }
    // the 28th label is alone on the second sheet, at its first place
    const { left, drawn } = measure(second, 0)
    expect(Math.abs(onPaper.x(drawn.left) - (left + rim))).toBeLessThanOrEqual(toleranceMm)
    expect(measure(second, 1).drawn.width).toBe(Number.NEGATIVE_INFINITY)
  })
})

describe('real labels', () => {
  it('on a sheet say their codes, each as often as copies were asked for', async () => {
    const grid = commonGrids[0]!.grid
    const panels = ['P-0001', 'P-0002', 'P-0003'].map((code) => panelWith({ id: code, code }))
    const wanted: Printable = {
      kind: 'labels',
      panelIds: panels.map(({ id }) => id),
      stock: { on: 'grid', grid, start: 6 },
      copies: 2,
      shows: usualPrinting.shows.label,
      wording,
    }
    const pages = await layOutPrintable(wanted, panels)
    expect(pages).toHaveLength(1)
    const file = join(folder, 'real.pdf')
    await drawPagesPdf(pages, file, { title: 'labels' })
    const [raster] = await rasterise(file, 400)
    expect((await readQr(raster!)).toSorted()).toEqual(['P-0001', 'P-0001', 'P-0002', 'P-0002', 'P-0003', 'P-0003'])
    expect(raster!.text).toContain('4 copper : 1 crimson')
  })

  it('cards say their code and the whole build from the substrate up', async () => {
    const size = { widthMm: 105, heightMm: 148 }
    const panel = { ...longPanel(), substrate: 'steel, sanded', notes: 'Mottled near the edge.' }
    const shows = usualPrinting.shows.card
    const pages = await layOutPrintable({ kind: 'cards', panelIds: [panel.id], size, shows, wording }, [panel])
    const file = join(folder, 'card.pdf')
    await drawPagesPdf(pages, file, { title: 'card' })
    const rasters = await rasterise(file, 400)
    for (const raster of rasters) {
      expect(Math.abs(raster.widthMm - 105)).toBeLessThanOrEqual(toleranceMm)
      expect(Math.abs(raster.heightMm - 148)).toBeLessThanOrEqual(toleranceMm)
      expect(await readQr(raster)).toEqual([panel.code])
    }
    const text = rasters.map((raster) => raster.text.replaceAll(/\s+/gu, ' ')).join(' ')
    const order = [
      'steel, sanded',
      'mid grey',
      'fine gold metallic',
      '6 ocean blue',
      'violet shift pearl',
      'gloss clear',
    ]
    const places = order.map((words) => text.indexOf(words))
    expect(places.every((place) => place >= 0)).toBe(true)
    expect(places).toEqual(places.toSorted((a, b) => a - b))
    expect(text).toContain('Mottled near the edge.')
  })
})

describe('the calibration page', () => {
  it.each(printers)('has rulers of 100 mm, 15 mm from its edges, $what', async ({ placement, onPaper, what }) => {
    const size = { widthMm: 210, heightMm: 297 }
    const pages = await layOutPrintable({ kind: 'calibration', printer: 'paper', size, corrected: true }, [])
    const file = join(folder, `ruler ${what}.pdf`)
    await drawPagesPdf(pages, file, { title: 'ruler', placement })
    const [raster] = await rasterise(file, 300)
    // the rulers' lines with the shortest strokes on them, without figures and corner marks
    const across = darkExtent(raster!, 5, 10, 125, 16.6)
    const down = darkExtent(raster!, 10, 10, 16.6, 125)
    const stroke = 0.2
    expect(Math.abs(onPaper.x(across.left) - (15 - stroke / 2))).toBeLessThanOrEqual(toleranceMm)
    expect(Math.abs(onPaper.x(across.left + across.width) - (115 + stroke / 2))).toBeLessThanOrEqual(toleranceMm)
    expect(Math.abs(onPaper.y(down.top) - (15 - stroke / 2))).toBeLessThanOrEqual(toleranceMm)
    expect(Math.abs(onPaper.y(down.top + down.height) - (115 + stroke / 2))).toBeLessThanOrEqual(toleranceMm)
  })

  it('is as small as a label, for a printer that takes nothing larger', async () => {
    const size = { widthMm: 62, heightMm: 29 }
    const [page] = await layOutPrintable({ kind: 'calibration', printer: 'labels', size, corrected: false }, [])
    const file = join(folder, 'small.pdf')
    await drawPagesPdf([page!], file, { title: 'small' })
    const [raster] = await rasterise(file)
    const ink = darkExtent(raster!, 0, 0, 62, 29)
    expect(ink.left).toBeGreaterThan(1)
    expect(ink.left + ink.width).toBeLessThan(61)
    expect(ink.top + ink.height).toBeLessThan(28)
  })
})
