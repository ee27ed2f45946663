import { stat } from 'node:fs/promises'
import type { BlankSheet } from '../../shared-core/capture/light-map.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { decodePhoto } from './decode.ts'
import { refusalOf } from './refusals.ts'

/** Only slow changes of the light count: a larger picture says no more. */
const mostSide = 512

// one sheet serves a whole session of photos
let kept: { key: string; sheet: Promise<BlankSheet> } | null = null

/**
 * A photo of a blank sheet, made small. The last one asked for is kept.
 * @throws Refusal when the file cannot be read
 */
export async function blankSheet(path: string): Promise<BlankSheet> {
  const file = await stat(path).catch((error: unknown) => Promise.reject(refusalOf(error)))
  const key = `${path} ${file.mtimeMs} ${file.size}`
  if (kept?.key === key) return kept.sheet
  const sheet = decodePhoto(path).then(({ pixels, profile }) => ({ pixels: smaller(pixels), profile }))
  const mine = { key, sheet }
  kept = mine
  sheet.catch(() => {
    if (kept === mine) kept = null
  })
  return sheet
}

/** Means of square blocks of file numbers: over so even a thing the same as of light, and clipped numbers stay so. */
function smaller(pixels: Pixels): Pixels {
  const step = Math.ceil(Math.max(pixels.width, pixels.height) / mostSide)
  if (step === 1) return pixels
  const width = Math.floor(pixels.width / step)
  const height = Math.floor(pixels.height / step)
  if (width === 0 || height === 0) return pixels
  const count = width * height * 3
  const data = pixels.bits === 16 ? new Uint16Array(count) : new Uint8Array(count)
  const area = step * step
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      for (let c = 0; c < 3; c++) {
        let sum = 0
        for (let j = 0; j < step; j++) {
          let at = ((y * step + j) * pixels.width + x * step) * 3 + c
          for (let i = 0; i < step; i++, at += 3) sum += pixels.data[at]!
        }
        data[(y * width + x) * 3 + c] = Math.round(sum / area)
      }
    }
  }
  return { ...pixels, width, height, data }
}
