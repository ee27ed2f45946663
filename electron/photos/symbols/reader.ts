import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { prepareZXingModule, type ReaderOptions, readBarcodes } from 'zxing-wasm/reader'
import { isConvex } from '../../../shared-core/capture/geometry.ts'
import type { Quad } from '../../../shared-core/records/area.ts'
import type { Grey } from './grey.ts'

let prepared: Promise<unknown> | null = null

/** The package would fetch its program from the network; it gets the copy beside it instead. */
const prepare = (): Promise<unknown> => {
  prepared ??= readFile(createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm')).then((bytes) => {
    const wasmBinary = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength)
    return prepareZXingModule({ overrides: { wasmBinary }, fireImmediately: true })
  })
  return prepared
}

/** A symbol as the reader saw it: read, or only noticed. */
export type Sighting = {
  /** Null: it has the look of a symbol, and its modules do not make sense. */
  text: string | null
  /** Clockwise from the symbol's own top left corner, to about a pixel. */
  quad: Quad
  /** Its modules without quiet zone, row by row, 1 dark; null where it was not read. */
  modules: { side: number; dark: Uint8Array } | null
}

export type Binarizer = 'LocalAverage' | 'GlobalHistogram'

/** What anybody may print into a symbol is long; what a label says is not. */
const longest = 500

/** Reads the QR symbols (ISO/IEC 18004) of a small picture. */
export async function sight(
  { width, height, data }: Grey,
  binarizer: Binarizer,
  thorough: boolean,
): Promise<Sighting[]> {
  await prepare()
  const colours = new Uint8ClampedArray(width * height * 4)
  const words = new Uint32Array(colours.buffer)
  for (let i = 0; i < words.length; i++) words[i] = 0xff000000 | (data[i]! * 0x010101)
  const options: ReaderOptions = {
    formats: ['QRCode'],
    binarizer,
    tryHarder: thorough,
    // its own search for finder patterns holds for every turn
    tryRotate: false,
    tryInvert: false,
    tryDownscale: false,
    returnErrors: true,
    maxNumberOfSymbols: 40,
    textMode: 'Plain',
  }
  // the page's type of a picture, which there is no page here to know
  const image = { data: colours, width, height, colorSpace: 'srgb' } as Parameters<typeof readBarcodes>[0]
  const found = await readBarcodes(image, options)
  return found.flatMap(({ isValid, text, position, symbol, isMirrored }): Sighting[] => {
    const { topLeft, topRight, bottomRight, bottomLeft } = position
    const corners = isMirrored
      ? [topLeft, bottomLeft, bottomRight, topRight]
      : [topLeft, topRight, bottomRight, bottomLeft]
    // the reader names the pixel that holds the corner
    const quad = corners.map(({ x, y }) => [x + 0.5, y + 0.5]) as Quad
    const isText = isValid && text !== '' && text.length <= longest && text.isWellFormed() && !/\p{C}/u.test(text)
    // the reader also tells of what it stumbled over, and names no place
    if ((isValid && !isText) || !isConvex(quad)) return []
    const modules =
      isText && !isMirrored && symbol.width === symbol.height && symbol.width >= 21
        ? { side: symbol.width, dark: Uint8Array.from(symbol.data, (value) => (value === 0 ? 1 : 0)) }
        : null
    return [{ text: isText ? text : null, quad, modules }]
  })
}
