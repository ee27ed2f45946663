import type { DecodeTables } from '../../colour/profile.ts'
import type { Point } from '../../records/area.ts'
import { fullOf, type Pixels } from '../pixels.ts'
import { quantile, selectAt } from '../statistics.ts'

/** Noise of a photo on a smooth surface: relative variances after and before the eye's blur, and the light it had. */
export type BandNoise = { band: number; fine: number; light: number }

/** Statistics of one square tile of a photo; variances are relative to the square of its light. */
export type Tile = {
  /** Mean linear light. */
  light: number
  pixelCount: number
  /** Variance as the eye sees it, and of the pixels as they are. */
  band: number
  whole: number
  /** What of these is the camera's by the tile's own finest detail. */
  cameraBand: number
  cameraWhole: number
  /** Covariance of pixels 0, 1, 2 … apart along rows and columns. */
  alike: number[]
  /** Light of each glint above the paint, relative. */
  glints: number[]
}

export type TileScale = {
  /** Photo pixels averaged to one, a side; and how many of those a side. */
  bin: number
  side: number
  /** Blur of the eye in averaged pixels. */
  eyeSigma: number
}

/** About what the eye takes for brightness, Rec. 709; the exact weights change no figure much. */
const [redWeight, greenWeight, blueWeight] = [0.2126, 0.7152, 0.0722]
/** Further out than this many deviations is a glint or dust, and counted apart from the grain. */
const tail = 5
/** A glint is at least this much brighter than the paint. */
const leastGlint = 0.12
/** Cameras leave no more noise than this in an 8-bit file, in its numbers; more is the paint's own. */
const mostNoiseNumbers = 3
/** Noise reduction and compression leave more noise at the eye's scale than white noise with the same finest detail. */
const smoothedNoise = 2.5

/** Measures one tile. @returns null when it is black, or mostly at the limit of the file */
export function grainOf(pixels: Pixels, tables: DecodeTables, corner: Point, scale: TileScale): Tile | null {
  const { side } = scale
  const { plane, clipped, steps } = readTile(pixels, tables, corner, scale)
  if (clipped > 0.25) return null
  const light = plane.reduce((sum, v) => sum + v, 0) / plane.length
  if (!(light > 1e-5)) return null
  flatten(plane, side)
  const limit = tail * deviationOf(plane)
  const whole = clippedVariance(plane, limit)
  const { kernel, passes } = eyeKernel(scale.eyeSigma)
  const seen = blur(plane, side, kernel)
  const deviation = deviationOf(seen)
  const band = clippedVariance(seen, tail * deviation)
  // a file's number is worth so much light here: noise beyond a few numbers is none of the camera's
  const most = (mostNoiseNumbers * steps) / scale.bin
  const fine = Math.min(finestVariance(plane, side), most * most)
  const blocks = scale.bin === 1 ? blockVariance(plane, side, corner) : 0
  return {
    light,
    pixelCount: side * side,
    band,
    whole,
    cameraBand: smoothedNoise * fine * passes + blocks,
    cameraWhole: fine + blocks,
    alike: alikeness(plane, side, limit),
    glints: glintsOf(seen, side, Math.max(leastGlint, tail * deviation)),
  }
}

function readTile(pixels: Pixels, [red, green, blue]: DecodeTables, [left, top]: Point, { bin, side }: TileScale) {
  const plane = new Float64Array(side * side)
  const { data, width } = pixels
  const full = fullOf(pixels)
  const share = 1 / (bin * bin)
  let clipped = 0
  let stepSum = 0
  let looked = 0
  const step = pixels.bits === 16 ? 257 : 1
  for (let row = 0; row < side; row++) {
    const line = plane.subarray(row * side, (row + 1) * side)
    for (let j = 0; j < bin; j++)
      clipped += addLine(line, data, ((top + row * bin + j) * width + left) * 3, bin, [red, green, blue], full)
    for (let column = 0; column < side; column++) line[column]! *= share
  }
  for (let row = 0; row < side; row += lookEvery) {
    for (let column = 0; column < side; column += lookEvery) {
      const at = ((top + row * bin) * width + left + column * bin) * 3
      stepSum += stepAt(red, data[at]!, step, full) * redWeight
      stepSum += stepAt(green, data[at + 1]!, step, full) * greenWeight
      stepSum += stepAt(blue, data[at + 2]!, step, full) * blueWeight
      looked++
    }
  }
  const mean = plane.reduce((sum, v) => sum + v, 0) / plane.length
  return { plane, clipped: clipped * share * (1 / plane.length), steps: stepSum / looked / Math.max(mean, 1e-6) }
}

/**
 * Adds a row of a photo's pixels to a row of averaged ones. Loops over pixels stand by themselves here and below: the engine
 * makes fast what is called often, and starts over where a long loop ends in the middle of something.
 * @returns  how many are at the file's limit in green
 */
function addLine(
  line: Float64Array,
  data: Pixels['data'],
  first: number,
  bin: number,
  [red, green, blue]: DecodeTables,
  full: number,
): number {
  let clipped = 0
  let at = first
  for (let column = 0; column < line.length; column++) {
    let sum = 0
    for (let i = 0; i < bin; i++, at += 3) {
      const g = data[at + 1]!
      sum += redWeight * red[data[at]!]! + greenWeight * green[g]! + blueWeight * blue[data[at + 2]!]!
      clipped += g === full ? 1 : 0
    }
    line[column]! += sum
  }
  return clipped
}

/** Worth of a number changes little from pixel to pixel. */
const lookEvery = 5

/** Light that one number of an 8-bit file more or less makes. */
function stepAt(table: Float64Array, value: number, step: number, full: number): number {
  const low = Math.max(0, value - step)
  const high = Math.min(full, value + step)
  return ((table[high]! - table[low]!) * step) / (high - low)
}

/** Takes a smooth surface of the second degree off a plane of light, and makes it relative to that. */
function flatten(plane: Float64Array, side: number): void {
  const x = Float64Array.from({ length: side }, (_, i) => (2 * i + 1) / side - 1)
  // sums of 1, x, y, xx, xy, yy times the light; the other side of the equations is known: the points are a lattice
  let [s, sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0, 0]
  for (let row = 0; row < side; row++) {
    let [r, rx, rxx] = [0, 0, 0]
    for (let column = 0; column < side; column++) {
      const v = plane[row * side + column]!
      const at = x[column]!
      r += v
      rx += v * at
      rxx += v * at * at
    }
    const y = x[row]!
    s += r
    sx += rx
    sy += r * y
    sxx += rxx
    sxy += rx * y
    syy += r * y * y
  }
  const n = side * side
  const m2 = x.reduce((sum, v) => sum + v * v, 0) / side
  const m4 = x.reduce((sum, v) => sum + v ** 4, 0) / side
  const level = s / n
  const bendX = (sxx / n - level * m2) / (m4 - m2 * m2)
  const bendY = (syy / n - level * m2) / (m4 - m2 * m2)
  const [slopeX, slopeY, twist] = [sx / n / m2, sy / n / m2, sxy / n / (m2 * m2)]
  const least = 0.1 * level
  for (let row = 0; row < side; row++) {
    const y = x[row]!
    const start = level + slopeY * y + bendY * (y * y - m2) - bendX * m2
    for (let column = 0; column < side; column++) {
      const at = x[column]!
      const smooth = start + at * (slopeX + twist * y + bendX * at)
      plane[row * side + column] = plane[row * side + column]! / Math.max(smooth, least) - 1
    }
  }
}

/** The median, the upper one of two; reorders its values. */
const medianIn = (values: Float64Array): number => selectAt(values, values.length >> 1)

/** Deviation by the middle half of the values: glints and dust do not move it. */
function deviationOf(plane: Float64Array): number {
  const step = Math.ceil(plane.length / 1500)
  const some = new Float64Array(Math.floor(plane.length / step))
  for (let i = 0; i < some.length; i++) some[i] = Math.abs(plane[i * step]!)
  return 1.4826 * medianIn(some) + 1e-9
}

const held = (v: number, limit: number) => (v > limit ? limit : v < -limit ? -limit : v)

function clippedVariance(plane: Float64Array, limit: number): number {
  const sums = new Float64Array(2)
  for (let from = 0; from < plane.length; from += 64)
    addHeld(sums, plane, from, Math.min(from + 64, plane.length), limit)
  const mean = sums[0]! / plane.length
  return sums[1]! / plane.length - mean * mean
}

/** Adds values and their squares. */
function addHeld(sums: Float64Array, plane: Float64Array, from: number, to: number, limit: number): void {
  let [sum, squares] = [sums[0]!, sums[1]!]
  for (let i = from; i < to; i++) {
    const kept = held(plane[i]!, limit)
    sum += kept
    squares += kept * kept
  }
  sums[0] = sum
  sums[1] = squares
}

/** A Gaussian, and how much of white noise's variance passes it in two dimensions. */
function eyeKernel(sigma: number): { kernel: number[]; passes: number } {
  if (sigma < 0.2) return { kernel: [1], passes: 1 }
  const reach = Math.ceil(2.5 * sigma)
  const raw = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-((i - reach) ** 2) / (2 * sigma * sigma)))
  const total = raw.reduce((a, b) => a + b, 0)
  const kernel = raw.map((v) => v / total)
  return { kernel, passes: kernel.reduce((sum, v) => sum + v * v, 0) ** 2 }
}

/** Blurs along rows and columns; what lies beyond an edge is its mirror image. */
function blur(plane: Float64Array, side: number, kernel: number[]): Float64Array {
  if (kernel.length === 1) return plane
  return pass(pass(plane, side, kernel, 1, side), side, kernel, side, 1)
}

function pass(from: Float64Array, side: number, kernel: number[], stride: number, across: number): Float64Array {
  const to = new Float64Array(from.length)
  const reach = (kernel.length - 1) / 2
  const padded = new Float64Array(side + 2 * reach)
  for (let line = 0; line < side; line++) {
    const start = line * across
    for (let i = 0; i < side; i++) padded[i + reach] = from[start + i * stride]!
    for (let i = 0; i < reach; i++) {
      padded[reach - 1 - i] = padded[reach + i]!
      padded[side + reach + i] = padded[side + reach - 1 - i]!
    }
    for (let i = 0; i < side; i++) {
      let sum = 0
      for (let k = 0; k < kernel.length; k++) sum += kernel[k]! * padded[i + k]!
      to[start + i * stride] = sum
    }
  }
  return to
}

/**
 * Variance of white noise that would leave the same finest detail; surfaces and edges leave next to none.
 * Source: J. Immerkær, Computer Vision and Image Understanding 64 (1996) 300–302 (mask), with a median instead of a mean.
 */
function finestVariance(plane: Float64Array, side: number): number {
  const found = new Float64Array((side - 2) * (side - 2))
  let count = 0
  for (let row = 1; row < side - 1; row += 2) {
    for (let column = 1; column < side - 1; column++) {
      const at = row * side + column
      const above = plane[at - side - 1]! - 2 * plane[at - side]! + plane[at - side + 1]!
      const here = plane[at - 1]! - 2 * plane[at]! + plane[at + 1]!
      const below = plane[at + side - 1]! - 2 * plane[at + side]! + plane[at + side + 1]!
      found[count++] = Math.abs(above - 2 * here + below)
    }
  }
  return ((1.4826 * medianIn(found.subarray(0, count))) / 6) ** 2
}

/** Side of the blocks that JPEG compresses by themselves. */
const jpegBlock = 8

/**
 * Variance that the steps between a JPEG's blocks add: how much more neighbours differ across the blocks' edges than
 * within them. Half of a step's square is the variance of the blocks' levels.
 */
function blockVariance(plane: Float64Array, side: number, [left, top]: Point): number {
  const across = new Float64Array(jpegBlock)
  const down = new Float64Array(jpegBlock)
  const countAcross = new Float64Array(jpegBlock)
  const countDown = new Float64Array(jpegBlock)
  for (let row = 1; row < side; row++) {
    for (let column = 1; column < side; column++) {
      const at = row * side + column
      const [x, y] = [(left + column) % jpegBlock, (top + row) % jpegBlock]
      across[x]! += (plane[at]! - plane[at - 1]!) ** 2
      down[y]! += (plane[at]! - plane[at - side]!) ** 2
      countAcross[x]!++
      countDown[y]!++
    }
  }
  return (excess(across, countAcross) + excess(down, countDown)) / 4
}

/** A turned or cut photo has its blocks' edges anywhere: the phase that stands out is taken, if it does. */
function excess(sums: Float64Array, counts: Float64Array): number {
  const means = Array.from(sums, (sum, i) => sum / Math.max(1, counts[i]!))
  const [top = 0, ...others] = means.toSorted((a, b) => b - a)
  const usual = quantile(others, 0.5)
  const next = others[0] ?? 0
  return top - usual > 2 * (next - usual) ? top - usual : 0
}

const mostLag = 24

function alikeness(plane: Float64Array, side: number, limit: number): number[] {
  const kept = plane.map((v) => held(v, limit))
  const lags = Math.min(mostLag, Math.floor(side / 3))
  // of large tiles every second or third row and column is enough
  const step = Math.ceil(side / 40)
  return Array.from({ length: lags + 1 }, (_, lag) => {
    let sum = 0
    let count = 0
    for (let row = 0; row < side - lag; row += step) {
      const end = row * side + side - lag
      for (let at = row * side; at < end; at += step) {
        sum += kept[at]! * (kept[at + lag]! + kept[at + lag * side]!)
        count += 2
      }
    }
    return sum / count
  })
}

/** Heights of the local maxima above a threshold. */
function glintsOf(seen: Float64Array, side: number, least: number): number[] {
  const found: number[] = []
  for (let row = 1; row < side - 1; row++) {
    for (let column = 1; column < side - 1; column++) {
      const at = row * side + column
      const v = seen[at]!
      if (v <= least) continue
      let peak = true
      for (let dy = -1; dy <= 1 && peak; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const other = seen[at + dy * side + dx]!
          // of two equal neighbours the later one is left out
          if (other > v || (other === v && (dy < 0 || (dy === 0 && dx < 0)))) {
            peak = false
            break
          }
        }
      }
      if (peak) found.push(v)
    }
  }
  return found
}
