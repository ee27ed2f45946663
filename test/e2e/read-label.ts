import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { PDFiumLibrary } from '@hyzyla/pdfium'
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader'

const require = createRequire(import.meta.url)
const dpi = 600

/** Rasterises the first page of a PDF and reads what its QR code says; the page's size in millimetres with it. */
export async function readLabel(
  pdf: Uint8Array,
): Promise<{ texts: string[]; widthMm: number; heightMm: number; pages: number }> {
  const library = await PDFiumLibrary.init()
  const document = await library.loadDocument(pdf)
  try {
    const page = document.getPage(0)
    const { originalWidth, originalHeight } = page.getOriginalSize()
    const [width, height] = [Math.round((originalWidth / 72) * dpi), Math.round((originalHeight / 72) * dpi)]
    const drawn = await page.render({ width, height, render: 'bitmap' })
    prepareZXingModule({
      overrides: {
        wasmBinary: new Uint8Array(readFileSync(require.resolve('zxing-wasm/reader/zxing_reader.wasm'))).buffer,
      },
    })
    // the order of the colour channels does not matter to a black and white symbol
    const image = {
      data: new Uint8ClampedArray(drawn.data),
      width: drawn.width,
      height: drawn.height,
      colorSpace: 'srgb',
    } as ImageData
    const found = await readBarcodes(image, { formats: ['QRCode'] })
    return {
      texts: found.map((code) => code.text),
      widthMm: (originalWidth / 72) * 25.4,
      heightMm: (originalHeight / 72) * 25.4,
      pages: document.getPageCount(),
    }
  } finally {
    document.destroy()
    library.destroy()
  }
}
