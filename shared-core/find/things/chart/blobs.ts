import type { Gradient } from '../edges.ts'
import type { Planes } from '../planes.ts'

/** A small flat region that is about as full as a rectangle: it may be a patch. */
export type Blob = {
  x: number
  y: number
  area: number
  colour: [number, number, number]
}

/** Steepest change, in numbers per pixel, inside a region: patches with grain and bright gaps need the larger ones. */
const levels = [4, 10, 24]
const leastArea = 9
/** Of the picture. */
const mostPart = 0.035
/** Area over that of a rectangle of the same spread; and longer over shorter axis. */
const leastFull = 0.8
const mostLong = 2.1

/** Flat regions that may be patches, each once. */
export function blobsOf(planes: Planes, gradient: Gradient): Blob[] {
  const found: (Blob & { full: number })[] = []
  const queue = new Int32Array(planes.width * planes.height)
  for (const level of levels) {
    for (const blob of regionsOf(planes, gradient, level, queue)) {
      const side = Math.sqrt(blob.area)
      const same = found.findIndex(
        (one) =>
          Math.abs(one.x - blob.x) < 0.3 * side && Math.abs(one.y - blob.y) < 0.3 * side && one.area > 0.3 * blob.area,
      )
      if (same < 0) found.push(blob)
      // the region grows with the level until it spills over
      else if (blob.area > found[same]!.area && blob.full > found[same]!.full - 0.05) found[same] = blob
    }
  }
  return found
}

function regionsOf(planes: Planes, { size }: Gradient, level: number, queue: Int32Array): (Blob & { full: number })[] {
  const { width, height } = planes
  const seen = new Uint8Array(width * height)
  for (let i = 0; i < size.length; i++) seen[i] = size[i]! < level ? 0 : 1
  // the border belongs to no patch
  for (let x = 0; x < width; x++) {
    seen[x] = 1
    seen[(height - 1) * width + x] = 1
  }
  for (let y = 0; y < height; y++) {
    seen[y * width] = 1
    seen[y * width + width - 1] = 1
  }
  const found: (Blob & { full: number })[] = []
  const most = mostPart * width * height
  for (let start = 0; start < seen.length; start++) {
    if (seen[start] !== 0) continue
    const count = flood(seen, width, start, queue)
    if (count < leastArea || count > most) continue
    const blob = describe(planes, queue, count)
    if (blob) found.push(blob)
  }
  return found
}

function flood(seen: Uint8Array, width: number, start: number, queue: Int32Array): number {
  let end = 1
  queue[0] = start
  seen[start] = 2
  for (let next = 0; next < end; next++) {
    const i = queue[next]!
    for (let n = 0; n < 4; n++) {
      const k = n === 0 ? i + 1 : n === 1 ? i - 1 : n === 2 ? i + width : i - width
      if (seen[k] !== 0) continue
      seen[k] = 2
      queue[end++] = k
    }
  }
  return end
}

function describe({ width, channels }: Planes, queue: Int32Array, count: number): (Blob & { full: number }) | null {
  let [sx, sy, xx, yy, xy] = [0, 0, 0, 0, 0]
  let [r, g, b] = [0, 0, 0]
  const [red, green, blue] = channels as [Float32Array, Float32Array, Float32Array]
  for (let n = 0; n < count; n++) {
    const i = queue[n]!
    const y = Math.floor(i / width)
    const x = i - y * width
    sx += x
    sy += y
    xx += x * x
    yy += y * y
    xy += x * y
    r += red[i]!
    g += green[i]!
    b += blue[i]!
  }
  const [mx, my] = [sx / count, sy / count]
  // a pixel itself has a spread of a twelfth
  const vx = xx / count - mx * mx + 1 / 12
  const vy = yy / count - my * my + 1 / 12
  const c = xy / count - mx * my
  const determinant = vx * vy - c * c
  const full = count / (12 * Math.sqrt(Math.max(determinant, 1e-9)))
  const apart = Math.sqrt(Math.max(0, (vx + vy) * (vx + vy) - 4 * determinant))
  const long = Math.sqrt((vx + vy + apart) / Math.max(1e-9, vx + vy - apart))
  if (full < leastFull || long > mostLong) return null
  return { x: mx + 0.5, y: my + 0.5, area: count, colour: [r / count, g / count, b / count], full }
}
