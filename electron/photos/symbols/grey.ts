import { type Homography, mapPoint, type PixelBox } from '../../../shared-core/capture/geometry.ts'

/** One number a pixel, row by row: the picture's lightness. */
export type Grey = { width: number; height: number; data: Uint8Array }

/** Half the size: each pixel the mean of four. */
export function halved({ width, height, data }: Grey): Grey {
  const [wide, high] = [width >> 1, height >> 1]
  const result = new Uint8Array(wide * high)
  for (let y = 0; y < high; y++) {
    const start = 2 * y * width
    const above = data.subarray(start, start + width)
    const below = data.subarray(start + width, start + 2 * width)
    for (let x = 0, at = 0, into = y * wide; x < wide; x++, at += 2, into++)
      result[into] = (above[at]! + above[at + 1]! + below[at]! + below[at + 1]! + 2) >> 2
  }
  return { width: wide, height: high, data: result }
}

/** Catmull and Rom's cubic, through the pixels. */
const cubic = (t: number): number => {
  const a = Math.abs(t)
  if (a < 1) return (1.5 * a - 2.5) * a * a + 1
  return a < 2 ? ((-0.5 * a + 2.5) * a - 4) * a + 2 : 0
}

/** Rows or columns of the picture that make one row or column of the enlarged one, with their weights; the edge repeats. */
function taps(from: number, count: number, times: number, limit: number): { at: Int32Array; weights: Float32Array } {
  const result = { at: new Int32Array(count * 4), weights: new Float32Array(count * 4) }
  for (let i = 0; i < count; i++) {
    const centre = from + (i + 0.5) / times - 0.5
    const first = Math.floor(centre) - 1
    for (let k = 0; k < 4; k++) {
      result.at[i * 4 + k] = Math.min(limit - 1, Math.max(0, first + k))
      result.weights[i * 4 + k] = cubic(centre - first - k)
    }
  }
  return result
}

/** A window of the picture, `times` as large; inside the picture. */
export function enlarged(grey: Grey, box: PixelBox, times: number): { wide: number; high: number; data: Float32Array } {
  const [wide, high] = [Math.round(box.width * times), Math.round(box.height * times)]
  if (times === 1) return { wide, high, data: copied(grey, box) }
  const across = taps(box.left, wide, times, grey.width)
  const down = taps(box.top, high, times, grey.height)
  const rows = new Float32Array(wide * box.height)
  for (let y = 0; y < box.height; y++) {
    const start = (box.top + y) * grey.width
    for (let x = 0; x < wide; x++) {
      let sum = 0
      for (let k = x * 4; k < x * 4 + 4; k++) sum += across.weights[k]! * grey.data[start + across.at[k]!]!
      rows[y * wide + x] = sum
    }
  }
  const data = new Float32Array(wide * high)
  for (let y = 0; y < high; y++)
    for (let k = y * 4; k < y * 4 + 4; k++) {
      const row = Math.min(box.height - 1, Math.max(0, down.at[k]! - box.top)) * wide
      const weight = down.weights[k]!
      for (let x = 0; x < wide; x++) data[y * wide + x]! += weight * rows[row + x]!
    }
  return { wide, high, data }
}

function copied(grey: Grey, box: PixelBox): Float32Array {
  const data = new Float32Array(box.width * box.height)
  for (let y = 0; y < box.height; y++) {
    const start = (box.top + y) * grey.width + box.left
    data.set(grey.data.subarray(start, start + box.width), y * box.width)
  }
  return data
}

/** Means over squares of 2 × reach + 1 pixels; the edge repeats. */
function boxMeans(data: Float32Array, wide: number, high: number, reach: number): Float32Array {
  const pass = (from: Float32Array, lines: number, length: number, line: number, step: number): Float32Array => {
    const result = new Float32Array(from.length)
    const most = length - 1
    for (let i = 0; i < lines; i++) {
      const start = i * line
      const at = (k: number): number => from[start + (k < 0 ? 0 : k > most ? most : k) * step]!
      let sum = 0
      for (let k = -reach; k <= reach; k++) sum += at(k)
      const inner = Math.max(reach, most - reach)
      for (let k = 0; k < length; k++) {
        result[start + k * step] = sum / (2 * reach + 1)
        // in the middle nothing has to be held to the edges
        if (k >= reach && k < inner) sum += from[start + (k + reach + 1) * step]! - from[start + (k - reach) * step]!
        else sum += at(k + reach + 1) - at(k - reach)
      }
    }
    return result
  }
  return pass(pass(data, high, wide, wide, 1), wide, high, 1, wide)
}

/**
 * Lifts what blur took: the difference from the mean of the surroundings is added `amount` times.
 * @param reach  pixels to each side that count as surroundings, about a module
 */
export function sharpened(wide: number, high: number, data: Float32Array, reach: number, amount: number): Grey {
  const result = new Uint8Array(data.length)
  const means = amount > 0 ? boxMeans(boxMeans(data, wide, high, reach), wide, high, reach) : data
  for (let i = 0; i < data.length; i++)
    result[i] = Math.min(255, Math.max(0, data[i]! + amount * (data[i]! - means[i]!)))
  return { width: wide, height: high, data: result }
}

/** The value between pixels; outside the picture its edge goes on. */
export function valueAt({ width, height, data }: Grey, x: number, y: number): number {
  const px = Math.min(width - 1, Math.max(0, x - 0.5))
  const py = Math.min(height - 1, Math.max(0, y - 0.5))
  const left = Math.min(Math.max(0, width - 2), Math.floor(px))
  const top = Math.min(Math.max(0, height - 2), Math.floor(py))
  const [u, v] = [px - left, py - top]
  const at = top * width + left
  const right = width > 1 ? 1 : 0
  const below = height > 1 ? width : 0
  return (
    (data[at]! * (1 - u) + data[at + right]! * u) * (1 - v) +
    (data[at + below]! * (1 - u) + data[at + below + right]! * u) * v
  )
}

/** The part of a flat thing that `side` × `side` pixels show upright. @param toPhoto from those pixels to the picture */
export function upright(grey: Grey, wide: number, high: number, toPhoto: Homography): Float32Array {
  const data = new Float32Array(wide * high)
  for (let y = 0; y < high; y++)
    for (let x = 0; x < wide; x++) {
      // four samples: where the picture has more pixels than asked for, none is passed over
      let sum = 0
      for (let i = 0; i < 4; i++) {
        const [px, py] = mapPoint(toPhoto, [x + 0.25 + (i & 1) / 2, y + 0.25 + (i >> 1) / 2])
        sum += valueAt(grey, px, py)
      }
      data[y * wide + x] = sum / 4
    }
  return data
}
