import type { EdgeLine } from './lines.ts'
import { sharedArea } from './overlap.ts'
import { quadsOf } from './quads.ts'
import { measure, type Rectangle, type Scale } from './rectangles.ts'

/** How well the three sides that can be seen must be seen. */
const leastShare = 0.85
const leastSide = 0.06
const mostLooked = 150
const mostFound = 2

/** Rectangles of which one side lies beyond the picture: three sides are seen, the fourth is the picture's own edge. */
export function runningOut(scale: Scale, known: Rectangle[]): Rectangle[] {
  const { width, height } = scale.planes
  const first = scale.lines.length
  const lines = [...scale.lines, ...bordersOf(width, height)]
  const candidates = quadsOf(lines, width, height, leastSide * Math.max(width, height))
    .filter(({ lines: own }) => own.filter((line) => line >= first).length === 1)
    .slice(0, mostLooked)
  const found: Rectangle[] = []
  const measured = candidates
    .map((candidate) => measure(scale, scale, candidate))
    .filter(({ sides, quality }) => quality > 0.3 && sides.filter(({ share }) => share >= leastShare).length >= 3)
    .toSorted((a, b) => b.quality - a.quality)
  for (const one of measured) {
    if (found.length === mostFound) break
    const isFree = [...known, ...found].every(
      ({ quad, part }) => sharedArea(quad, one.quad) < 0.05 * Math.min(part, one.part) * width * height,
    )
    if (isFree) found.push(one)
  }
  return found
}

/** The picture's edges as lines that are seen from end to end. */
function bordersOf(width: number, height: number): EdgeLine[] {
  const border = (nx: number, ny: number, rho: number, from: number, to: number): EdgeLine => {
    const first = Math.floor(from)
    const covered = Int32Array.from({ length: Math.ceil(to) - first + 2 }, (_, i) => i)
    return { nx, ny, rho, runs: [[from, to]], length: to - from, covered, first }
  }
  return [
    border(1, 0, 0, 0, height),
    border(1, 0, width, 0, height),
    border(0, 1, 0, -width, 0),
    border(0, 1, height, -width, 0),
  ]
}
