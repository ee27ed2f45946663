import { type Frame, toX, toY } from '../geometry/projection.ts'
import { greyPixel, type MapSteps, type Run } from '../geometry/steps.ts'

/** Pixels of a picture, row by row; 0 is see-through. */
export type Pixels = { readonly data: Uint32Array; readonly width: number; readonly height: number }

const black = greyPixel(0)
const white = greyPixel(255)
/** Where many lie, steps outside the slice are a shade and not black strokes that hide everything. */
const shade = greyPixel(0x5c)
const manyStrokes = 1500

/**
 * How wide a mark is, in pixels: as wide as leaves most of them in sight where they hang thickly, and never so large that
 * one hides what it is near to.
 * @param density  steps for each unit of the plane; @param scale pixels for a unit
 */
export function markWidth(density: number, scale: number, dpr: number): number {
  const apart = density > 0 ? scale / Math.sqrt(density) : Number.POSITIVE_INFINITY
  return Math.round(Math.min(12 * dpr, Math.max(3 * dpr, apart * 0.9)))
}

export type Marking = {
  readonly steps: MapSteps
  /** Drawn as paint; what is outside of it as strokes. */
  readonly run: Run
  readonly width: number
  readonly dpr: number
  /** 1 for each chosen panel, by its row. */
  readonly chosen: Uint8Array
  readonly anyChosen: boolean
  /** Left out: steps outside the slice are drawn as strokes. */
  readonly strokes?: boolean
}

/**
 * Draws steps as small hanging panels in their own paint: twice as high as wide, on a hook, the corner cut where the screen
 * cannot show the colour; chosen ones in a black-in-white frame, frames below all paint so that many together have one
 * outline. Steps outside the slice are strokes. Draws over what is there.
 * @param frame  in the picture's own pixels
 */
export function drawMarks(
  pixels: Pixels,
  frame: Frame,
  { steps, run, width, dpr, chosen, anyChosen, strokes = true }: Marking,
): void {
  const [from, to] = run
  const { count, a, b, panel, paint, beyond } = steps
  const strokeInk = count - (to - from) > manyStrokes ? shade : black
  const thin = Math.max(1, Math.round(dpr))
  for (let row = strokes ? 0 : count; row < count; row++) {
    if (row >= from && row < to) continue
    const isChosen = anyChosen && chosen[panel[row]!] === 1
    const x = Math.round(toX(frame, a[row]!))
    const y = Math.round(toY(frame, b[row]!))
    fill(pixels, x, y - thin, thin, 3 * thin, isChosen ? white : strokeInk)
  }
  const height = 2 * width
  const left = width >> 1
  const line = (width < 6 * dpr ? 1 : 2) * thin
  if (anyChosen) {
    for (const [grow, ink] of [
      [2 * line, black],
      [line, white],
    ] as const) {
      for (let row = from; row < to; row++) {
        if (chosen[panel[row]!] !== 1) continue
        const x = Math.round(toX(frame, a[row]!)) - left
        const y = Math.round(toY(frame, b[row]!)) - width
        fill(pixels, x - grow, y - grow, width + 2 * grow, height + 2 * grow, ink)
      }
    }
  }
  const hasHook = width >= 5 * dpr
  const cut = Math.round(width * 0.6)
  for (let row = from; row < to; row++) {
    const x = Math.round(toX(frame, a[row]!)) - left
    const y = Math.round(toY(frame, b[row]!)) - width
    if (x > pixels.width || y > pixels.height || x + width < 0 || y + height < 0) continue
    if (hasHook) fill(pixels, x + left, y - 3 * thin, thin, 3 * thin, black)
    if (beyond[row] === 1) fillCut(pixels, x, y, width, height, cut, paint[row]!)
    else fill(pixels, x, y, width, height, paint[row]!)
  }
}

function fill({ data, width, height }: Pixels, x: number, y: number, w: number, h: number, ink: number): void {
  const left = Math.max(0, x)
  const right = Math.min(width, x + w)
  if (left >= right) return
  const bottom = Math.min(height, y + h)
  // marks are a few pixels wide: a loop beats the call of `fill`
  for (let line = Math.max(0, y); line < bottom; line++) {
    const end = line * width + right
    for (let at = line * width + left; at < end; at++) data[at] = ink
  }
}

/** A rectangle without its upper right corner. */
function fillCut(pixels: Pixels, x: number, y: number, w: number, h: number, cut: number, ink: number): void {
  for (let row = 0; row < cut; row++) fill(pixels, x, y + row, w - cut + row, 1, ink)
  fill(pixels, x, y + cut, w, h - cut, ink)
}
