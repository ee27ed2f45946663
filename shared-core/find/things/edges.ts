import type { Planes } from './planes.ts'

/** How steeply the colours change, pixel by pixel. */
export type Gradient = {
  planes: Planes
  /** Numbers per pixel, of all channels together. */
  size: Float32Array
  /** Medians of tiles: what the size usually is around there, by grain and noise; see `usualAt`. */
  tiles: { columns: number; rows: number; medians: Float32Array }
}

/** Places where the colours change most, with a fraction of a pixel. */
export type EdgePoints = {
  count: number
  x: Float32Array
  y: Float32Array
  angle: Float32Array
  /** Size over what is usual there. */
  strength: Float32Array
}

/** Tiles over which the usual size is taken, and the least it is said to be: numbers are whole in a file. */
const tile = 32
const leastUsual = 0.3
/** Grain is hardly rougher than this; print and leaves are, and what lies on them is seen all the same. */
const mostUsual = 6
/** Grain alone passes this many times its median once in a hundred pixels (Rayleigh's distribution). */
const leastStrength = 1.9

/**
 * Gradient of a colour picture: root of the largest eigenvalue of the summed structure tensor.
 * Source: S. Di Zenzo, Computer Vision, Graphics, and Image Processing 33 (1986) 116–125.
 */
export function gradientOf(planes: Planes): Gradient {
  const { width, height, channels } = planes
  const size = new Float32Array(width * height)
  const sums: Sums = [new Float32Array(width), new Float32Array(width), new Float32Array(width)]
  for (let y = 1; y < height - 1; y++) {
    for (const sum of sums) sum.fill(0)
    for (const channel of channels) addTensor(channel, width, y, sums)
    largestOf(sums, y * width, size)
  }
  return { planes, size, tiles: usualSizes(size, width, height) }
}

/** Of one row: the squares and the product of the slopes both ways, over all channels. */
type Sums = [xx: Float32Array, yy: Float32Array, xy: Float32Array]

function addTensor(channel: Float32Array, width: number, y: number, [xx, yy, xy]: Sums): void {
  for (let x = 1, i = y * width + 1; x < width - 1; x++, i++) {
    const dx = channel[i + 1]! - channel[i - 1]!
    const dy = channel[i + width]! - channel[i - width]!
    xx[x]! += dx * dx
    yy[x]! += dy * dy
    xy[x]! += dx * dy
  }
}

function largestOf([xx, yy, xy]: Sums, start: number, size: Float32Array): void {
  for (let x = 1; x < xx.length - 1; x++) {
    const [a, b, c] = [xx[x]!, yy[x]!, xy[x]!]
    size[start + x] = 0.5 * Math.sqrt(0.5 * (a + b + Math.sqrt((a - b) * (a - b) + 4 * c * c)))
  }
}

/** Direction of the steepest change at one pixel, 0 to π. */
function angleAt({ width, channels }: Planes, i: number): number {
  let [xx, yy, xy] = [0, 0, 0]
  for (const channel of channels) {
    const dx = channel[i + 1]! - channel[i - 1]!
    const dy = channel[i + width]! - channel[i - width]!
    xx += dx * dx
    yy += dy * dy
    xy += dx * dy
  }
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy)
  return angle < 0 ? angle + Math.PI : angle
}

function usualSizes(size: Float32Array, width: number, height: number): Gradient['tiles'] {
  const columns = Math.max(1, Math.round(width / tile))
  const rows = Math.max(1, Math.round(height / tile))
  const medians = new Float32Array(columns * rows)
  const kept = new Float32Array((tile + 1) * (tile + 1))
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const left = Math.floor((c * width) / columns)
      const right = Math.floor(((c + 1) * width) / columns)
      let count = 0
      // a quarter of the pixels says as much
      for (let y = Math.floor((r * height) / rows); y < Math.floor(((r + 1) * height) / rows); y += 2)
        for (let x = left + ((y >> 1) & 1); x < right; x += 2) kept[count++] = size[y * width + x]!
      const sorted = kept.subarray(0, count).toSorted()
      medians[r * columns + c] = Math.min(mostUsual, Math.max(leastUsual, sorted[count >> 1] ?? 0))
    }
  }
  return { columns, rows, medians }
}

/** What the change usually is around a place; the tiles are drawn smoothly over the picture. */
export function usualAt(
  { planes: { width, height }, tiles: { columns, rows, medians } }: Gradient,
  x: number,
  y: number,
) {
  const u = Math.min(columns - 1, Math.max(0, (x * columns) / width - 0.5))
  const v = Math.min(rows - 1, Math.max(0, (y * rows) / height - 0.5))
  const left = u | 0
  const top = v | 0
  const right = left + 1 < columns ? left + 1 : left
  const below = top + 1 < rows ? top + 1 : top
  const upper = medians[top * columns + left]! * (1 - u + left) + medians[top * columns + right]! * (u - left)
  const lower = medians[below * columns + left]! * (1 - u + left) + medians[below * columns + right]! * (u - left)
  return upper + (lower - upper) * (v - top)
}

/**
 * Pixels whose change is largest across their own direction, and more than grain.
 * @param leaveOut  places already explained by something else
 */
export function edgePointsOf(gradient: Gradient, leaveOut: (x: number, y: number) => boolean): EdgePoints {
  const { height } = gradient.planes
  const found: Found = { x: [], y: [], angle: [], strength: [] }
  for (let y = 2; y < height - 2; y++) addRow(gradient, leaveOut, y, found)
  return {
    count: found.x.length,
    x: Float32Array.from(found.x),
    y: Float32Array.from(found.y),
    angle: Float32Array.from(found.angle),
    strength: Float32Array.from(found.strength),
  }
}

type Found = { x: number[]; y: number[]; angle: number[]; strength: number[] }

function addRow(gradient: Gradient, leaveOut: (x: number, y: number) => boolean, y: number, found: Found): void {
  const { planes, size } = gradient
  const { width } = planes
  for (let x = 2, i = y * width + 2; x < width - 2; x++, i++) {
    const here = size[i]!
    if (here < leastStrength * leastUsual) continue
    // a summit along one of the two axes at least, before anything that takes longer
    const isSummit =
      (here >= size[i + 1]! && here >= size[i - 1]!) || (here >= size[i + width]! && here >= size[i - width]!)
    if (!isSummit) continue
    const strength = here / usualAt(gradient, x + 0.5, y + 0.5)
    if (strength < leastStrength) continue
    const angle = angleAt(planes, i)
    const dx = Math.cos(angle)
    const dy = Math.sin(angle)
    // the neighbour across, along the axis that is nearer to the direction
    const steep = Math.abs(dy) > Math.abs(dx)
    const slope = steep ? dx / dy : dy / dx
    const side = Math.abs(slope)
    const one = steep ? width : 1
    const other = steep ? Math.sign(slope) : Math.sign(slope) * width
    const ahead = size[i + one]! * (1 - side) + size[i + one + other]! * side
    const behind = size[i - one]! * (1 - side) + size[i - one - other]! * side
    if (here < ahead || here <= behind || leaveOut(x, y)) continue
    const bow = ahead + behind - 2 * here
    const off = bow < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (behind - ahead)) / bow)) : 0
    found.x.push(x + 0.5 + (steep ? off * slope : off))
    found.y.push(y + 0.5 + (steep ? off : off * slope))
    found.angle.push(angle)
    found.strength.push(strength)
  }
}
