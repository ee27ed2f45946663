import { chartColours, patchQuad } from '../../../../shared-core/capture/camera/chart.ts'
import { patchWindow } from '../../../../shared-core/capture/camera/known.ts'
import type { Chart, Point, Quad } from '../../../../shared-core/records/area.ts'
import { paintOf } from '../../../parts/gamut-word.ts'
import { isWellShaped, placeOn } from '../marks.ts'

const columns = 6
const rows = 4

const path = (points: Point[]) => `M${points.map((p) => p.join(' ')).join('L')}`

/** The lines between the cells, in photo pixels. */
function linesOf(quad: Quad): [Point, Point][] {
  const place = placeOn(quad)
  const between = (count: number) => Array.from({ length: count - 1 }, (_, i) => (i + 1) / count)
  return [
    ...between(columns).map((u): [Point, Point] => [place(u, 0), place(u, 1)]),
    ...between(rows).map((v): [Point, Point] => [place(0, v), place(1, v)]),
  ]
}

/** How far from its corner the number stands, in screen pixels: clear of the handle there. */
const off = 28
export const numberRadius = 13

/** Where the number of the first corner stands: outwards from the chart's middle. */
export function firstNumberAt(quad: Quad, on: (p: Point) => Point): Point {
  const corners = quad.map(on)
  const [cx, cy] = [0, 1].map((i) => corners.reduce((sum, p) => sum + p[i]!, 0) / 4) as [number, number]
  const [x, y] = corners[0]!
  const far = Math.max(Math.hypot(x - cx, y - cy), 1)
  return [x + ((x - cx) / far) * off, y + ((y - cy) / far) * off]
}

/**
 * The lattice of a chart's outline. While it is worked on, the middle of each cell carries the colour that its patch
 * should have: laid right, like lies on like.
 */
export function ChartDrawn({ chart, on, chosen }: { chart: Chart; on: (p: Point) => Point; chosen: boolean }) {
  if (!isWellShaped(chart.quad)) return null
  const [x, y] = firstNumberAt(chart.quad, on)
  const lines = linesOf(chart.quad)
    .map((line) => path(line.map(on)))
    .join('')
  return (
    <g className="tray-lattice">
      <path className="tray-line thin under" d={lines} />
      <path className="tray-line thin" d={lines} />
      {chartColours(chart.table).map((lab, i) => (
        <path
          key={i}
          className="tray-patch"
          d={`${path(patchQuad(chart.quad, i + 1, patchWindow).map(on))}Z`}
          style={{ fill: chosen ? paintOf(lab).css : 'none' }}
        />
      ))}
      <circle className="tray-first" cx={x} cy={y} r={numberRadius} />
      <text className="tray-first" x={x} y={y} dy="5" textAnchor="middle">
        1
      </text>
    </g>
  )
}
