/** Drawn PDFs as pixels: pdfium rasterises, zxing reads symbols back. Both are independent of what draws. */
import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { PDFiumLibrary } from '@hyzyla/pdfium'
import { afterAll, beforeAll } from 'vitest'
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader'

export type Raster = {
  data: Uint8Array
  width: number
  height: number
  widthMm: number
  heightMm: number
  dotsPerMm: number
  text: string
}
let library: PDFiumLibrary

beforeAll(async () => {
  library = await PDFiumLibrary.init()
  const wasm = await readFile(createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm'))
  prepareZXingModule({ overrides: { wasmBinary: new Uint8Array(wasm).buffer } })
})
afterAll(() => library.destroy())

/** @param dpi 300 is 0.085 mm a dot; `pages` leaves the others out */
export async function rasterise(file: string, dpi = 600, pages = Number.POSITIVE_INFINITY): Promise<Raster[]> {
  const dotsPerMm = dpi / 25.4
  const document = await library.loadDocument(await readFile(file))
  const rasters: Raster[] = []
  for (const page of document.pages()) {
    if (rasters.length >= pages) break
    const { originalWidth, originalHeight } = page.getOriginalSize()
    const [widthMm, heightMm] = [(originalWidth / 72) * 25.4, (originalHeight / 72) * 25.4]
    // Before the page is drawn: pdfium's wrapper closes it then.
    const text = page.getText()
    const drawn = await page.render({
      width: Math.round(widthMm * dotsPerMm),
      height: Math.round(heightMm * dotsPerMm),
      render: 'bitmap',
    })
    rasters.push({ data: drawn.data, width: drawn.width, height: drawn.height, widthMm, heightMm, dotsPerMm, text })
  }
  document.destroy()
  return rasters
}

/** The first channel of a dot, 0 to 255: its order does not matter to black and white. */
export const levelAt = ({ data, width }: Raster, x: number, y: number): number => data[(y * width + x) * 4] ?? 255

/** Extent in mm of what is dark within a window given in mm. */
export function darkExtent(raster: Raster, left: number, top: number, right: number, bottom: number) {
  const { dotsPerMm } = raster
  const dots = (mm: number, most: number): number => Math.min(Math.max(Math.round(mm * dotsPerMm), 0), most)
  let [x0, y0, x1, y1] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, -1, -1]
  for (let y = dots(top, raster.height); y < dots(bottom, raster.height); y++) {
    for (let x = dots(left, raster.width); x < dots(right, raster.width); x++) {
      if (levelAt(raster, x, y) >= 128) continue
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

export async function readQr(raster: Raster): Promise<string[]> {
  // Black on white reads the same whichever order the colour channels are in.
  const image = {
    data: new Uint8ClampedArray(raster.data),
    width: raster.width,
    height: raster.height,
    colorSpace: 'srgb',
  } as ImageData
  const found = await readBarcodes(image, { formats: ['QRCode'], maxNumberOfSymbols: 255, tryHarder: true })
  return found.map(({ text }) => text)
}
