/**
 * The drawn label, measured on its pixels: pdfium rasterises the PDF at 600 dpi, zxing reads the symbol back. Both are
 * independent of what draws. The lengths are those that were asked for; ± 0.2 mm is about five dots of the raster.
 */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PDFiumLibrary } from '@hyzyla/pdfium'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader'
import { drawLabelsPdf, layOutLabels } from '../../electron/print/labels.ts'
import { labelSizes } from '../../shared-core/label/layout.ts'
import type { LabelPage } from '../../shared-core/records/label.ts'
import { longPanel, panelWith } from '../unit/label-panels.ts'

const dotsPerMm = 600 / 25.4

type Raster = { data: Uint8Array; width: number; height: number; widthMm: number; heightMm: number; text: string }
let library: PDFiumLibrary
let folder: string

beforeAll(async () => {
  library = await PDFiumLibrary.init()
  folder = await mkdtemp(join(tmpdir(), 'label-pdf-'))
  const wasm = await readFile(createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm'))
  prepareZXingModule({ overrides: { wasmBinary: new Uint8Array(wasm).buffer } })
})
afterAll(async () => {
  library.destroy()
  await rm(folder, { recursive: true })
})

async function rasterise(file: string): Promise<Raster[]> {
  const document = await library.loadDocument(await readFile(file))
  const rasters: Raster[] = []
  for (const page of document.pages()) {
    const { originalWidth, originalHeight } = page.getOriginalSize()
    const [widthMm, heightMm] = [(originalWidth / 72) * 25.4, (originalHeight / 72) * 25.4]
    // Before the page is drawn: pdfium's wrapper closes it then.
    const text = page.getText()
    const drawn = await page.render({
      width: Math.round(widthMm * dotsPerMm),
      height: Math.round(heightMm * dotsPerMm),
      render: 'bitmap',
    })
    rasters.push({
      data: drawn.data,
      width: drawn.width,
      height: drawn.height,
      widthMm,
      heightMm,
      text,
    })
  }
  document.destroy()
  return rasters
}

const isDark = ({ data, width }: Raster, x: number, y: number): boolean => (data[(y * width + x) * 4] ?? 255) < 128

/** Extent in mm of what is dark within a window given in mm. */
function darkExtent(raster: Raster, left: number, top: number, right: number, bottom: number) {
  const dots = (mm: number, most: number): number => Math.min(Math.max(Math.round(mm * dotsPerMm), 0), most)
  let [x0, y0, x1, y1] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, -1, -1]
  for (let y = dots(top, raster.height); y < dots(bottom, raster.height); y++) {
    for (let x = dots(left, raster.width); x < dots(right, raster.width); x++) {
      if (!isDark(raster, x, y)) continue
      x0 = Math.min(x0, x)
      y0 = Math.min(y0, y)
      x1 = Math.max(x1, x + 1)
      y1 = Math.max(y1, y + 1)
    }
  }
  return {
    left: x0 / dotsPerMm,
    top: y0 / dotsPerMm,
    width: (x1 - x0) / dotsPerMm,
    height: (y1 - y0) / dotsPerMm,
  }
}

async function readQr(raster: Raster): Promise<string[]> {
  // Black on white reads the same whichever order the colour channels are in.
  const image = {
    data: new Uint8ClampedArray(raster.data),
    width: raster.width,
    height: raster.height,
    colorSpace: 'srgb',
  } as ImageData
  return (await readBarcodes(image, { formats: ['QRCode'] })).map(({ text }) => text)
}

/** Millimetres. */
const tolerance = 0.2
const off = (measured: number, wanted: number): number => Math.abs(measured - wanted)

describe('drawn size', () => {
  it('draws a box of 30 × 10 mm at 12, 7 mm on a page of exactly 62 × 29 mm', async () => {
    const page: LabelPage = {
      size: { widthMm: 62, heightMm: 29 },
      panelId: 'panel-1',
      part: 1,
      of: 1,
      marks: [{ kind: 'box', xMm: 12, yMm: 7, widthMm: 30, heightMm: 10 }],
    }
    const file = join(folder, 'box.pdf')
    await drawLabelsPdf([page], file)
    const [raster] = await rasterise(file)
    if (!raster) throw new Error('no page')
    expect(off(raster.widthMm, 62)).toBeLessThanOrEqual(tolerance)
    expect(off(raster.heightMm, 29)).toBeLessThanOrEqual(tolerance)
    const box = darkExtent(raster, 0, 0, 62, 29)
    expect(off(box.left, 12)).toBeLessThanOrEqual(tolerance)
    expect(off(box.top, 7)).toBeLessThanOrEqual(tolerance)
    expect(off(box.width, 30)).toBeLessThanOrEqual(tolerance)
    expect(off(box.height, 10)).toBeLessThanOrEqual(tolerance)
  })

  it('puts the baseline of a text where it is said: the foot and height of a capital E', async () => {
    const page: LabelPage = {
      size: { widthMm: 40, heightMm: 40 },
      panelId: 'panel-1',
      part: 1,
      of: 1,
      marks: [{ kind: 'text', xMm: 5, baselineMm: 30, sizeMm: 20, face: 'regular', text: 'E' }],
    }
    const file = join(folder, 'text.pdf')
    await drawLabelsPdf([page], file)
    const [raster] = await rasterise(file)
    if (!raster) throw new Error('no page')
    const ink = darkExtent(raster, 0, 0, 40, 40)
    expect(off(ink.top + ink.height, 30)).toBeLessThanOrEqual(tolerance)
    // The face's own table says that a capital is 1493 of 2048 units high.
    expect(off(ink.height, (20 * 1493) / 2048)).toBeLessThanOrEqual(tolerance)
  })
})

describe.each(labelSizes)('a label of $name', ({ size, name }) => {
  it('is drawn to size, and its symbol says the code on every part', async () => {
    const panels = [panelWith(), { ...longPanel(), id: 'panel-2' }, panelWith({ id: 'panel-3', code: 'Rück-12/é' })]
    const pages = await layOutLabels(panels, size)
    const file = join(folder, `${name}.pdf`)
    await drawLabelsPdf(pages, file)
    const rasters = await rasterise(file)
    expect(rasters).toHaveLength(pages.length)
    for (const [index, raster] of rasters.entries()) {
      const page = pages[index]
      const qr = page?.marks.find((mark) => mark.kind === 'qr')
      const code = panels.find(({ id }) => id === page?.panelId)?.code
      if (!qr || !code) throw new Error('no symbol or code on the page')
      expect(off(raster.widthMm, size.widthMm)).toBeLessThanOrEqual(tolerance)
      expect(off(raster.heightMm, size.heightMm)).toBeLessThanOrEqual(tolerance)
      const quiet = (3.5 * qr.sideMm) / qr.rows.length
      const drawn = darkExtent(raster, qr.xMm - quiet, 0, size.widthMm, qr.yMm + qr.sideMm + quiet)
      expect(off(drawn.left, qr.xMm)).toBeLessThanOrEqual(tolerance)
      expect(off(drawn.top, qr.yMm)).toBeLessThanOrEqual(tolerance)
      expect(off(drawn.width, qr.sideMm)).toBeLessThanOrEqual(tolerance)
      expect(off(drawn.height, qr.sideMm)).toBeLessThanOrEqual(tolerance)
      expect(await readQr(raster)).toEqual([code])
    }
  })

  it('keeps its text as text in the file', async () => {
    const file = join(folder, `${name} text.pdf`)
    await drawLabelsPdf(await layOutLabels([panelWith()], size), file)
    const text = (await rasterise(file)).map((raster) => raster.text.replaceAll(/\s+/gu, ' ')).join(' ')
    expect(text).toContain('4 copper : 1 crimson')
    expect(text).toContain('P-0042')
  })
})

describe('the file', () => {
  it('appears whole or not at all', async () => {
    const absent = join(folder, 'no such folder', 'label.pdf')
    const pages = await layOutLabels([panelWith()], { widthMm: 62, heightMm: 29 })
    await expect(drawLabelsPdf(pages, absent)).rejects.toThrow(/ENOENT/u)
    await drawLabelsPdf(pages, join(folder, 'whole.pdf'))
    const files = await readdir(folder)
    expect(files).toContain('whole.pdf')
    expect(files.filter((name) => name.includes('partial'))).toEqual([])
  })
})
