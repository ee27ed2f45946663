/**
 * Photo sheets as pixels at 300 dpi, as pdfium draws them. Where the corner marks should lie is reckoned here from the page: 10 mm from
 * its edges, 12 cells of 1.6 mm a side; each cell is looked at. zxing, which does not know how it was drawn, reads the panel's symbol.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { drawPagesPdf } from '../../electron/print/draw-pages.ts'
import { layOutPrintable } from '../../electron/print/sheets.ts'
import { encodeMark } from '../../shared-core/label/photo-sheet/corner-mark.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import { papers } from '../../shared-core/label/sheet/paper.ts'
import type { PhotoSheetsWanted } from '../../shared-core/records/sheet.ts'
import { panelWith } from '../unit/label-panels.ts'
import { darkExtent, levelAt, rasterise, readQr } from './raster.ts'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'photo-sheet-'))
})
afterAll(() => rm(folder, { recursive: true }))

const inch = 25.4
const panel = { ...panelWith({}), code: 'P-0042', title: 'Teal over bright silver, four coats' }
const sizes = [
  { widthMm: 100, heightMm: 150 },
  { widthMm: 6 * inch, heightMm: 4 * inch },
]
const cases = papers.flatMap((paper) => sizes.map((size) => ({ paper, size, name: paper.name })))

describe.each(cases)('a photo sheet on $name', ({ paper, size }) => {
  it('has its corners, panel and patches where they are read, and says whose it is', async () => {
    const wanted: PhotoSheetsWanted = {
      kind: 'photo-sheets',
      panelIds: [panel.id],
      paper: paper.size,
      panel: size,
      series: 41_273,
    }
    const file = join(folder, `${paper.name} ${size.widthMm}.pdf`)
    await drawPagesPdf(await layOutPrintable(wanted, [panel]), file, { title: 'photo sheet' })
    const [page] = await rasterise(file, 300)
    const { dotsPerMm } = page!
    const levelIn = (xMm: number, yMm: number): number =>
      levelAt(page!, Math.round(xMm * dotsPerMm), Math.round(yMm * dotsPerMm))
    const halved = (mm: number): number => Math.round(mm * 2) / 2
    const [w, h] = [halved(paper.size.widthMm), halved(paper.size.heightMm)]
    const at = [
      [10, 10],
      [w - 29.2, 10],
      [w - 29.2, h - 29.2],
      [10, h - 29.2],
    ] as const
    for (const [index, [x, y]] of at.entries()) {
      const drawn = darkExtent(page!, x - 3, y - 3, x + 22.2, y + 22.2)
      expect(Math.abs(drawn.left - x)).toBeLessThan(0.15)
      expect(Math.abs(drawn.top - y)).toBeLessThan(0.15)
      expect(Math.abs(drawn.width - 19.2)).toBeLessThan(0.2)
      expect(Math.abs(drawn.height - 19.2)).toBeLessThan(0.2)
      const rows = Array.from({ length: 12 }, (_row, row) =>
        Array.from({ length: 12 }, (_cell, column) =>
          levelIn(x + 1.6 * (column + 0.5), y + 1.6 * (row + 0.5)) < 128 ? '1' : '0',
        ).join(''),
      )
      expect(rows).toEqual(encodeMark(wanted, (index + 1) as 1 | 2 | 3 | 4))
    }
    expect(await readQr(page!)).toEqual(['P-0042'])

    // the angles stand 1 mm off the panel and are 0.3 mm thick
    const { window, steps, colours } = photoSheetPlaces(paper.size, size)
    expect(Math.abs(window.widthMm - size.widthMm)).toBeLessThanOrEqual(0.25)
    expect(Math.abs(window.heightMm - size.heightMm)).toBeLessThanOrEqual(0.25)
    const drawn = darkExtent(
      page!,
      window.xMm - 2,
      window.yMm - 2,
      window.xMm + window.widthMm + 2,
      window.yMm + window.heightMm + 2,
    )
    expect(Math.abs(drawn.left - (window.xMm - 1.3))).toBeLessThanOrEqual(0.2)
    expect(Math.abs(drawn.top - (window.yMm - 1.3))).toBeLessThanOrEqual(0.2)
    expect(Math.abs(drawn.width - (window.widthMm + 2.6))).toBeLessThanOrEqual(0.2)
    expect(Math.abs(drawn.height - (window.heightMm + 2.6))).toBeLessThanOrEqual(0.2)
    const levels = steps.map(({ xMm, yMm, widthMm, heightMm }) => levelIn(xMm + widthMm / 2, yMm + heightMm / 2))
    expect(levels[0]).toBe(255)
    expect(levels.at(-1)).toBe(0)
    expect(levels).toEqual(levels.toSorted((a, b) => b - a))
    expect(new Set(levels).size).toBe(9)
    for (const { xMm, yMm, widthMm, heightMm, hex } of colours) {
      const dot =
        Math.round((yMm + heightMm / 2) * dotsPerMm) * page!.width + Math.round((xMm + widthMm / 2) * dotsPerMm)
      const drawnHex = [...page!.data.subarray(4 * dot, 4 * dot + 3)].map((code) => code.toString(16).padStart(2, '0'))
      expect(`#${drawnHex.join('')}`).toBe(hex)
    }

    for (const words of ['Teal over bright silver', 'flash off', 'ignition source', 'Sheet 41273']) {
      expect(page!.text.replaceAll(/\s+/gu, ' ')).toContain(words)
    }
  })
})

describe('a photo sheet', () => {
  it('is printed for any panel when none is chosen', async () => {
    const [a4] = papers
    const wanted: PhotoSheetsWanted = {
      kind: 'photo-sheets',
      panelIds: [],
      paper: a4!.size,
      panel: sizes[0]!,
      series: 1,
    }
    const file = join(folder, 'any.pdf')
    await drawPagesPdf(await layOutPrintable(wanted, []), file, { title: 'photo sheet' })
    const [page] = await rasterise(file, 200)
    expect(page!.text).toContain('Photo sheet')
  })

  it('is refused for a panel that leaves no room for the card', async () => {
    const [a4] = papers
    await expect(
      layOutPrintable(
        { kind: 'photo-sheets', panelIds: [], paper: a4!.size, panel: { widthMm: 200, heightMm: 280 }, series: 1 },
        [],
      ),
    ).rejects.toMatchObject({ code: 'sheet/does-not-fit' })
  })
})
