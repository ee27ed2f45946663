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
  const climb = leastClimb * fullOf(pixels)
  for (let y = stepY; y < height - stepY; y += stepY) collect(pixels.data, y * width * 3 + 1, 3, width, climb, widths)
  const columns = columnsOf(pixels, stepX)
  for (let at = 0; at < columns.length; at += height) collect(columns, at, 1, height, climb, widths)
  return widths.length < leastEdges ? null : quantile(widths, 0.2)
}

/** Green of every so many columns, one after another: read row by row, because memory is slow across rows. */
function columnsOf({ data, width, height }: Pixels, step: number): Uint16Array {
  const count = Math.max(0, Math.ceil((width - step) / step) - 1)
  const columns = new Uint16Array(count * height)
  for (let y = 0; y < height; y++) {
    let at = (y * width + step) * 3 + 1
    for (let i = y; i < columns.length; i += height, at += step * 3) columns[i] = data[at]!
  }
  return columns
}

/** @param climb  numbers that an edge must climb */
function collect(
  data: Pixels['data'],
  first: number,
  apart: number,
  length: number,
  climb: number,
  widths: number[],
): void {
  // whole numbers, four times the smoothed ones
  const most = 4 * climb
  let at = first
  let before = data[at]!
  let here = data[at + apart]!
  at += 2 * apart
  let last = before
  let low = last
  let steepest = 0
  let rising = true
  for (let i = 2; i < length; i++, at += apart) {
    const after = data[at]!
    const now = before + 2 * here + after
    before = here
    here = after
    if (i === 2) {
      low = now
      last = now
      continue
    }
    const step = now - last
    if (rising ? step < 0 : step > 0) {
      if (Math.abs(last - low) >= most) widths.push(Math.abs(last - low) / steepest)
      low = last
      steepest = 0
      rising = !rising
    }
    const steep = step < 0 ? -step : step
    if (steep > steepest) steepest = steep
    last = now
  }
  if (Math.abs(last - low) >= most) widths.push(Math.abs(last - low) / steepest)
}
