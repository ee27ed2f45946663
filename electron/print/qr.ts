import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { prepareZXingModule, writeBarcode } from 'zxing-wasm/writer'

let prepared: Promise<void> | null = null

/** The package would fetch its program from the network; it gets the copy beside it instead. */
const prepare = (): Promise<void> => {
  prepared ??= readFile(createRequire(import.meta.url).resolve('zxing-wasm/writer/zxing_writer.wasm')).then((bytes) => {
    const wasmBinary = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength)
    prepareZXingModule({ overrides: { wasmBinary } })
  })
  return prepared
}

/** A QR symbol with error correction M (15 %): one string a row, '1' dark, no quiet zone. */
export async function qrRows(text: string): Promise<string[]> {
  await prepare()
  const { symbol, error } = await writeBarcode(text, { format: 'QRCode', ecLevel: 'M', scale: 1, addQuietZones: false })
  if (error || symbol.width === 0) throw new Error(`No QR symbol could be made of “${text}”: ${error}`)
  return Array.from({ length: symbol.height }, (_, y) =>
    Array.from({ length: symbol.width }, (__, x) => (symbol.data[y * symbol.width + x] === 0 ? '1' : '0')).join(''),
  )
}
