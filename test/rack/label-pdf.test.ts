/**
 * The drawn label, measured on its pixels: pdfium rasterises the PDF at 600 dpi, zxing reads the symbol back. Both are
 * independent of what draws. The lengths are those that were asked for; ± 0.2 mm is about five dots of the raster.
 */
import { mkdtemp, readdir, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { drawLabelsPdf, layOutLabels } from '../../electron/print/labels.ts'
import { labelSizes } from '../../shared-core/label/layout.ts'
import type { LabelPage } from '../../shared-core/records/label.ts'
import { longPanel, panelWith } from '../unit/label-panels.ts'
import { darkExtent, rasterise, readQr } from './raster.ts'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'label-pdf-'))
})
afterAll(() => rm(folder, { recursive: true }))

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
