import type { PixelBox } from '../../../shared-core/capture/geometry.ts'
import type { Grey } from './grey.ts'

/** Pixels of the picture at half size that are counted together; three by three blocks are judged together. */
const block = 8
/**
 * Steps between dark and light along each row and each column of three blocks, in full steps of their contrast. Symbols
 * with modules of 2 to 6 pixels have 2.3 and more, also blurred; small print 2, an edge 1.
 */
const leastWeave = 1.6
/** Grey numbers between the darkest and the lightest pixel: printing, also in shade and somewhat blurred. */
const leastContrast = 36
/** Printing is bright, and its black at most this share of its white, also with stray light. Grain is of one mind. */
const leastBright = 60
const darkShare = 0.65
/**
 * Where the mean lies between darkest and lightest. Symbols have about as much black as white (0.45 to 0.75 as measured, with some of the
 * quiet zone and a file's tone curve); flake sparkles on dark (0.2), small print is mostly paper (0.8).
 */
const [leastMean, usualMean, mostMean] = [0.3, 0.7, 0.85]
/** What belongs to the same place is at least this share as strong as its strongest block. */
const sameShare = 0.55
/** In blocks: no symbol with modules that small reaches further from its strongest block. */
const furthest = 16

type Blocks = {
  across: number
  down: number
  low: Uint8Array
  high: Uint8Array
  sum: Int32Array
  steps: Int32Array
  fell: Int32Array
}

/**
 * Places of a picture that may hold a symbol with small modules: dark and light by turns, both across and down.
 * @param half  the picture at half size
 * @param most  how many at most
 * @returns     in pixels of `half`, the most likely first
 */
export function candidates(half: Grey, most: number): PixelBox[] {
  const blocks = counted(half)
  const { across, down } = blocks
  const strength = judged(blocks)
  const order = peaks(strength, across, down).toSorted((a, b) => strength[b]! - strength[a]!)
  const taken = new Uint8Array(strength.length)
  const result: PixelBox[] = []
  for (const peak of order) {
    if (result.length >= most) break
    if (taken[peak]) continue
    const px = peak % across
    const py = Math.floor(peak / across)
    const least = strength[peak]! * sameShare
    const box = { left: px, right: px, top: py, bottom: py }
    const stack = [peak]
    taken[peak] = 1
    for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
      const x = at % across
      const y = Math.floor(at / across)
      box.left = Math.min(box.left, x)
      box.right = Math.max(box.right, x)
      box.top = Math.min(box.top, y)
      box.bottom = Math.max(box.bottom, y)
      for (let ny = Math.max(0, y - 1, py - furthest); ny <= Math.min(down - 1, y + 1, py + furthest); ny++)
        for (let nx = Math.max(0, x - 1, px - furthest); nx <= Math.min(across - 1, x + 1, px + furthest); nx++) {
          const next = ny * across + nx
          if (taken[next] || strength[next]! < least) continue
          taken[next] = 1
          stack.push(next)
        }
    }
    // each block stands for itself and its neighbours
    const [left, top] = [(box.left - 1) * block, (box.top - 1) * block]
    result.push({ left, top, width: (box.right + 2) * block - left, height: (box.bottom + 2) * block - top })
  }
  return result
}

/** Blocks that none beside them is stronger than. */
function peaks(strength: Float32Array, across: number, down: number): number[] {
  const result: number[] = []
  for (let by = 1; by < down - 1; by++)
    for (let at = by * across + 1, end = at + across - 2; at < end; at++) {
      const value = strength[at]!
      if (value === 0) continue
      let isPeak = true
      for (let y = at - across; y <= at + across; y += across)
        if (strength[y - 1]! > value || strength[y]! > value || strength[y + 1]! > value) isPeak = false
      if (isPeak) result.push(at)
    }
  return result
}

function counted({ width, height, data }: Grey): Blocks {
  const [across, down] = [Math.floor(width / block), Math.floor(height / block)]
  const size = across * down
  const low = new Uint8Array(size).fill(255)
  const high = new Uint8Array(size)
  const sum = new Int32Array(size)
  const steps = new Int32Array(size)
  const fell = new Int32Array(size)
  // every other row, each with the one above it: as many steps both ways, in half the time
  for (let y = 1; y < down * block; y += 2) {
    const row = Math.floor(y / block) * across
    let at = y * width
    let before = data[at]!
    for (let i = row; i < row + across; i++) {
      let least = low[i]!
      let most = high[i]!
      let all = 0
      let along = 0
      let below = 0
      for (const end = at + block; at < end; at++) {
        const value = data[at]!
        least = Math.min(least, value)
        most = Math.max(most, value)
        all += value
        along += Math.abs(value - before)
        before = value
        below += Math.abs(value - data[at - width]!)
      }
      low[i] = least
      high[i] = most
      sum[i]! += all
      steps[i]! += along
      fell[i]! += below
    }
  }
  return { across, down, low, high, sum, steps, fell }
}

/** For each block with its eight neighbours: 0, or how strong a weave of dark and light they are. */
function judged({ across, down, low, high, sum, steps, fell }: Blocks): Float32Array {
  const result = new Float32Array(across * down)
  for (let by = 1; by < down - 1; by++)
    for (let bx = 1; bx < across - 1; bx++) {
      let least = 255
      let most = 0
      let total = 0
      let along = 0
      let below = 0
      for (let y = by - 1; y <= by + 1; y++)
        for (let i = y * across + bx - 1, end = i + 3; i < end; i++) {
          if (low[i]! < least) least = low[i]!
          if (high[i]! > most) most = high[i]!
          total += sum[i]!
          along += steps[i]!
          below += fell[i]!
        }
      const contrast = most - least
      if (contrast < leastContrast || most < leastBright || least > darkShare * most) continue
      const weave = Math.min(along, below) / (1.5 * block)
      const mean = (total / (4.5 * block * block) - least) / contrast
      if (weave < leastWeave * contrast || mean < leastMean || mean > mostMean) continue
      // mostly paper: small print rather than a symbol
      result[by * across + bx] = weave * Math.min(1, 1 - (mean - usualMean) / (2 * (mostMean - usualMean)))
    }
  return result
}
