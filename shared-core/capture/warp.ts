import type { Quad } from '../records/area.ts'
import { type Homography, homographyBetween, type PixelBox } from './geometry.ts'

/** Interleaved pixels of any depth; `channels` is 3, or 4 with opacity. */
export type Raster<A extends Uint8Array | Uint16Array> = { width: number; height: number; channels: 3 | 4; data: A }

/** At most this many samples a side are averaged for one pixel of the result: 16 × 16 still looks smooth. */
const mostSamples = 16

/**
 * Makes a quadrilateral of a photo rectangular.
 * Each pixel of the result is the mean of bilinear samples spread over the patch of the photo that it covers, so
 * that flake and dust do not turn into moiré when the cut-out is smaller than the original.
 * @param source  pixels; file numbers are averaged as they are (good enough for a picture, never used for a reading)
 * @param quad    clockwise from the corner that becomes the top left, corner of the first pixel at (0, 0)
 * @param into    filled; same depth and channels as the source; places outside the photo repeat its edge
 */
export function warpQuad<A extends Uint8Array | Uint16Array>(source: Raster<A>, quad: Quad, into: Raster<A>): void {
  const { width, height } = into
  const h = homographyBetween(
    [
      [0, 0],
      [width, 0],
      [width, height],
      [0, height],
    ],
    quad,
  )
  const { channels } = source
  const sum = new Float64Array(channels)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const steps = stepsFor(h, x + 0.5, y + 0.5)
      sum.fill(0)
      for (let j = 0; j < steps; j++) {
        for (let i = 0; i < steps; i++) {
          const u = x + (i + 0.5) / steps
          const v = y + (j + 0.5) / steps
          const w = h[6] * u + h[7] * v + h[8]
          addBilinear(source, (h[0] * u + h[1] * v + h[2]) / w, (h[3] * u + h[4] * v + h[5]) / w, sum)
        }
      }
      const at = (y * width + x) * channels
      for (let c = 0; c < channels; c++) into.data[at + c] = Math.round(sum[c]! / (steps * steps))
    }
  }
}

/** How many samples a side one result pixel needs: about one for each photo pixel that it covers. */
function stepsFor(h: Homography, u: number, v: number): number {
  const at = (p: number, q: number) => {
    const w = h[6] * p + h[7] * q + h[8]
    return [(h[0] * p + h[1] * q + h[2]) / w, (h[3] * p + h[4] * q + h[5]) / w] as const
  }
  const [x, y] = at(u, v)
  const [rightX, rightY] = at(u + 1, v)
  const [downX, downY] = at(u, v + 1)
  const reach = Math.max(Math.hypot(rightX - x, rightY - y), Math.hypot(downX - x, downY - y))
  return Math.min(mostSamples, Math.max(1, Math.ceil(reach)))
}

function addBilinear(source: Raster<Uint8Array | Uint16Array>, x: number, y: number, sum: Float64Array): void {
  const { width, height, channels, data } = source
  const px = Math.min(width - 1, Math.max(0, x - 0.5))
  const py = Math.min(height - 1, Math.max(0, y - 0.5))
  const left = Math.floor(px)
  const top = Math.floor(py)
  const right = Math.min(width - 1, left + 1)
  const bottom = Math.min(height - 1, top + 1)
  const fx = px - left
  const fy = py - top
  for (let c = 0; c < channels; c++) {
    const above =
      data[(top * width + left) * channels + c]! * (1 - fx) + data[(top * width + right) * channels + c]! * fx
    const below =
      data[(bottom * width + left) * channels + c]! * (1 - fx) + data[(bottom * width + right) * channels + c]! * fx
    sum[c]! += above * (1 - fy) + below * fy
  }
}

/** Width and height of a cut-out: `longSide` on its longer side, in the proportions the quadrilateral has on screen. */
export function cutSize(
  sides: { width: number; height: number },
  longSide: number,
): Pick<PixelBox, 'width' | 'height'> {
  const scale = longSide / Math.max(sides.width, sides.height)
  return { width: Math.max(1, Math.round(sides.width * scale)), height: Math.max(1, Math.round(sides.height * scale)) }
}
