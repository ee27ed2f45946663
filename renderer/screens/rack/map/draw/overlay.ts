import type { MapGap } from '../geometry/gaps.ts'
import type { Place } from '../geometry/grid.ts'
import { type Frame, toSpot, toX, toY } from '../geometry/projection.ts'
import { type MapSteps, stepsOfPanel } from '../geometry/steps.ts'

type Ink = CanvasRenderingContext2D
const black = '#000000'
const white = '#ffffff'

/** A line in black within white, which shows on any paint. */
function twice(context: Ink, width: number, dash: number[] = []): void {
  context.lineJoin = 'round'
  context.setLineDash([])
  context.lineWidth = width + 3
  context.strokeStyle = white
  context.stroke()
  context.setLineDash(dash)
  context.lineWidth = width
  context.strokeStyle = black
  context.stroke()
  context.setLineDash([])
}

/** Gaps as dotted rings around what is empty, numbered as in the list; the one looked at drawn through. */
export function drawGaps(context: Ink, frame: Frame, gaps: readonly MapGap[], shown: number | null): void {
  for (const [i, gap] of gaps.entries()) {
    const { x, y } = toSpot(frame, gap.a, gap.b)
    const radius = Math.max(15, gap.radius * frame.scale * 0.82)
    context.beginPath()
    context.arc(x, y, radius, 0, 2 * Math.PI)
    if (i === shown) twice(context, 3)
    else {
      context.lineCap = 'round'
      context.setLineDash([0.1, 6])
      context.lineWidth = 3
      context.strokeStyle = black
      context.stroke()
      context.setLineDash([])
      context.lineCap = 'butt'
    }
    context.fillStyle = black
    context.fillRect(x - 11, y - 11, 22, 22)
    context.fillStyle = white
    context.textAlign = 'center'
    context.textBaseline = 'middle'
    context.font = '700 15px "Archivo Variable", system-ui, sans-serif'
    context.fillText(String(i + 1), x, y + 1)
  }
}

/** The loop as it is drawn by hand, closed by a straight line. */
export function drawLoop(context: Ink, frame: Frame, loop: readonly Place[]): void {
  if (loop.length < 2) return
  context.beginPath()
  for (const { a, b } of loop) context.lineTo(toX(frame, a), toY(frame, b))
  context.closePath()
  twice(context, 3)
}

/** The ring that is moved with the arrow keys. */
export function drawRing(context: Ink, frame: Frame, ring: Place & { readonly radius: number }): void {
  const { x, y } = toSpot(frame, ring.a, ring.b)
  context.beginPath()
  context.arc(x, y, ring.radius * frame.scale, 0, 2 * Math.PI)
  twice(context, 3)
  context.beginPath()
  context.moveTo(x - 5, y)
  context.lineTo(x + 5, y)
  context.moveTo(x, y - 5)
  context.lineTo(x, y + 5)
  twice(context, 1)
}

/** A panel's steps joined in order of coats, so that one sees where each coat leads. */
export function drawPath(context: Ink, frame: Frame, steps: MapSteps, panel: number): void {
  const rows = stepsOfPanel(steps, panel)
  if (rows.length < 2) return
  context.beginPath()
  for (const row of rows) context.lineTo(toX(frame, steps.a[row]!), toY(frame, steps.b[row]!))
  twice(context, 1.5)
  for (const row of rows) {
    const { x, y } = toSpot(frame, steps.a[row]!, steps.b[row]!)
    context.fillStyle = white
    context.fillRect(x - 3, y - 3, 6, 6)
    context.fillStyle = black
    context.fillRect(x - 2, y - 2, 4, 4)
  }
}

/** The step that the card tells of: its paint again, on top, in a double ring. */
export function drawFocus(context: Ink, frame: Frame, steps: MapSteps, row: number, width: number): void {
  const w = Math.max(6, width)
  const [x, y] = [toX(frame, steps.a[row]!) - w / 2, toY(frame, steps.b[row]!) - w]
  context.fillStyle = white
  context.fillRect(x - 6, y - 6, w + 12, 2 * w + 12)
  context.fillStyle = black
  context.fillRect(x - 3, y - 3, w + 6, 2 * w + 6)
  context.fillStyle = cssOf(steps.paint[row]!)
  context.fillRect(x, y, w, 2 * w)
}

/** In the canvas's own space a pixel's bytes are its figures. */
function cssOf(pixel: number): string {
  return `rgb(${pixel & 255} ${(pixel >> 8) & 255} ${(pixel >> 16) & 255})`
}
