import { fullOf, type Pixels } from './pixels.ts'
import { quantile } from './statistics.ts'

/** Share of the full range that an edge must climb to be counted: more than noise and grain do. */
const leastClimb = 0.1
const leastEdges = 40
/** About this many lines are looked at in each direction. */
const lines = 100

/**
 * How wide the sharper edges of a photo are: climb of the edge divided by its steepest step, in green file numbers
 * along rows and columns, after a 1-2-1 smoothing that takes two pixels itself.
 * @returns pixels, the 20th percentile of all edges; null when there are too few edges to say
 */
export function edgeWidth(pixels: Pixels): number | null {
  const { width, height } = pixels
  const widths: number[] = []
  const stepY = Math.max(1, Math.floor(height / lines))
  const stepX = Math.max(1, Math.floor(width / lines))
  for (let y = stepY; y < height - stepY; y += stepY) collect(pixels, y * width, 1, width, widths)
  for (let x = stepX; x < width - stepX; x += stepX) collect(pixels, x, width, height, widths)
  return widths.length < leastEdges ? null : quantile(widths, 0.2)
}

function collect({ data, bits }: Pixels, first: number, stride: number, length: number, widths: number[]): void {
  const climb = leastClimb * fullOf({ bits })
  const apart = stride * 3
  let at = first * 3 + 1
  let before = data[at]!
  let here = data[at + apart]!
  at += 2 * apart
  let last = before
  let low = last
  let steepest = 0
  let rising = true
  for (let i = 2; i < length; i++, at += apart) {
    const after = data[at]!
    const now = (before + 2 * here + after) / 4
    before = here
    here = after
    if (i === 2) {
      low = now
      last = now
      continue
    }
    const step = now - last
    if (step !== 0 && step > 0 !== rising) {
      if (Math.abs(last - low) >= climb) widths.push(Math.abs(last - low) / steepest)
      low = last
      steepest = 0
      rising = step > 0
    }
    steepest = Math.max(steepest, Math.abs(step))
    last = now
  }
  if (Math.abs(last - low) >= climb) widths.push(Math.abs(last - low) / steepest)
}
