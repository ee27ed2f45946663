/**
 * Photo sheets as pixels at 300 dpi. zxing, which does not know how they were drawn, says where the corners' symbols lie;
 * where they should lie is reckoned here from the page: 10 mm from its edges, 18 mm a side.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readBarcodes } from 'zxing-wasm/reader'
import { drawPagesPdf } from '../../electron/print/draw-pages.ts'
import { layOutPrintable } from '../../electron/print/sheets.ts'
import { readCornerText } from '../../shared-core/label/photo-sheet/corner-text.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import { papers } from '../../shared-core/label/sheet/paper.ts'
import type { PhotoSheetsWanted } from '../../shared-core/records/sheet.ts'
import { panelWith } from '../unit/label-panels.ts'
import { darkExtent, levelAt, rasterise } from './raster.ts'

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
    const wanted: PhotoSheetsWanted = { kind: 'photo-sheets', panelIds: [panel.id], paper: paper.size, panel: size }
    const file = join(folder, `${paper.name} ${size.widthMm}.pdf`)
    await drawPagesPdf(await layOutPrintable(wanted, [panel]), file, { title: 'photo sheet' })
    const [page] = await rasterise(file, 300)
    const { data, width, height, dotsPerMm } = page!
    const found = await readBarcodes(
      { data: new Uint8ClampedArray(data), width, height, colorSpace: 'srgb' },
      { formats: ['QRCode'], maxNumberOfSymbols: 255, tryHarder: true },
    )
    const tenths = (mm: number): number => Math.round(mm * 10)
    const said = `${tenths(paper.size.widthMm)}X${tenths(paper.size.heightMm)} ${tenths(size.widthMm)}X${tenths(size.heightMm)} P-0042`
    const [w, h] = [paper.size.widthMm, paper.size.heightMm]
    const at = [
      [10, 10],
      [w - 28, 10],
      [w - 28, h - 28],
      [10, h - 28],
    ] as const
    for (const [index, [x, y]] of at.entries()) {
      const symbol = found.find(({ text }) => text === `OG1 ${index + 1} ${said}`)
      expect(symbol, `corner ${index + 1}`).toBeDefined()
      const read = readCornerText(symbol!.text)
      expect(read).toMatchObject({ corner: index + 1, code: 'P-0042' })
      expect(read!.paper.widthMm).toBeCloseTo(paper.size.widthMm, 1)
      expect(read!.panel.widthMm).toBeCloseTo(size.widthMm, 1)
      const { topLeft, bottomRight } = symbol!.position
      expect(Math.abs(topLeft.x / dotsPerMm - x)).toBeLessThan(0.3)
      expect(Math.abs(topLeft.y / dotsPerMm - y)).toBeLessThan(0.3)
      expect(Math.abs(bottomRight.x / dotsPerMm - (x + 18))).toBeLessThan(0.3)
      expect(Math.abs(bottomRight.y / dotsPerMm - (y + 18))).toBeLessThan(0.3)
    }
    expect(found.filter(({ text }) => text === 'P-0042')).toHaveLength(1)
    expect(found).toHaveLength(5)

    // the angles stand 1 mm off the panel and are 0.3 mm thick
    const { window, patches } = photoSheetPlaces(paper.size, size)
    expect(window).toMatchObject(size)
    const drawn = darkExtent(
      page!,
      window.xMm - 2,
      window.yMm - 2,
      window.xMm + window.widthMm + 2,
      window.yMm + window.heightMm + 2,
    )
    expect(Math.abs(drawn.left - (window.xMm - 1.3))).toBeLessThanOrEqual(0.2)
    expect(Math.abs(drawn.top - (window.yMm - 1.3))).toBeLessThanOrEqual(0.2)
    expect(Math.abs(drawn.width - (size.widthMm + 2.6))).toBeLessThanOrEqual(0.2)
    expect(Math.abs(drawn.height - (size.heightMm + 2.6))).toBeLessThanOrEqual(0.2)
    const levels = patches
      .slice(0, 8)
      .map(({ xMm, yMm, widthMm, heightMm }) =>
        levelAt(page!, Math.round((xMm + widthMm / 2) * dotsPerMm), Math.round((yMm + heightMm / 2) * dotsPerMm)),
      )
    expect(levels[0]).toBe(255)
    expect(levels[7]).toBe(0)
    for (let index = 1; index < 8; index++) expect(levels[index]!).toBeLessThan(levels[index - 1]!)

    for (const words of ['Teal over bright silver', 'flash off', 'ignition source']) {
      expect(page!.text.replaceAll(/\s+/gu, ' ')).toContain(words)
    }
  })
})

describe('a photo sheet', () => {
  it('is printed for any panel when none is chosen', async () => {
    const [a4] = papers
    const wanted: PhotoSheetsWanted = { kind: 'photo-sheets', panelIds: [], paper: a4!.size, panel: sizes[0]! }
    const file = join(folder, 'any.pdf')
    await drawPagesPdf(await layOutPrintable(wanted, []), file, { title: 'photo sheet' })
    const [page] = await rasterise(file, 200)
    expect(page!.text).toContain('Photo sheet')
  })

  it('is refused for a panel that leaves no room for the card', async () => {
    const [a4] = papers
    await expect(
      layOutPrintable(
        { kind: 'photo-sheets', panelIds: [], paper: a4!.size, panel: { widthMm: 200, heightMm: 280 } },
        [],
      ),
    ).rejects.toMatchObject({ code: 'sheet/does-not-fit' })
  })
})
