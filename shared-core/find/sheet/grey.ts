import type { Pixels } from '../../capture/pixels.ts'

/** One number a pixel, 0 to 255, row by row. */
export type Grey = { width: number; height: number; data: Uint8Array }

/** @param picture 8 or 16 bits, of which the upper 8 are enough; red and blue count half of green */
export function greyOf({ width, height, data, bits }: Pixels): Grey {
  const grey = new Uint8Array(width * height)
  const over = bits - 8
  for (let i = 0, at = 0; i < grey.length; i++, at += 3)
    grey[i] = ((data[at]! >> over) + 2 * (data[at + 1]! >> over) + (data[at + 2]! >> over)) >> 2
  return { width, height, data: grey }
}

/** Means over squares of `by` pixels a side; what is over at the right and below is left out. */
export function shrunk(grey: Grey, by: number): Grey {
  if (by === 1) return grey
  const [width, height] = [Math.floor(grey.width / by), Math.floor(grey.height / by)]
  const data = new Uint8Array(width * height)
  const sums = new Uint32Array(width)
  for (let y = 0; y < height; y++) {
    sums.fill(0)
    for (let j = 0; j < by; j++) {
      let at = (y * by + j) * grey.width
      for (let x = 0; x < width; x++) for (let i = 0; i < by; i++) sums[x]! += grey.data[at++]!
    }
    for (let x = 0; x < width; x++) data[y * width + x] = sums[x]! / (by * by)
  }
  return { width, height, data }
}

/** Between four pixels; beyond the edge it is repeated. Corner of the first pixel at (0, 0). */
export function levelAt({ width, height, data }: Grey, x: number, y: number): number {
  const px = Math.min(width - 1, Math.max(0, x - 0.5))
  const py = Math.min(height - 1, Math.max(0, y - 0.5))
  const [left, top] = [Math.floor(px), Math.floor(py)]
  const [fx, fy] = [px - left, py - top]
  const at = top * width + left
  const right = left < width - 1 ? 1 : 0
  const down = top < height - 1 ? width : 0
  const above = data[at]! + (data[at + right]! - data[at]!) * fx
  const below = data[at + down]! + (data[at + down + right]! - data[at + down]!) * fx
  return above + (below - above) * fy
}
