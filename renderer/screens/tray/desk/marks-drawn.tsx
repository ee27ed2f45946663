import { useShallow } from 'zustand/react/shallow'
import type { Point } from '../../../../shared-core/records/area.ts'
import { chooseMark, useDesk } from '../desk-state.ts'
import { chartCorners } from '../known-marks.ts'
import { cutLine, type Marks } from '../marks.ts'
import { handlesOf, type MarkKey, rectangleBetween } from '../moving.ts'
import { ChartDrawn } from './chart-drawn.tsx'
import { cornerNamesOf } from './corner-names.ts'
import { CutHandles } from './cut-handles.tsx'
import { Plates } from './plates.tsx'
import { toScreen, type View } from './zoom.ts'

/** What a handle is of its mark; a chart's corners go by their patches, because its outline can be turned. */
export function handleName(marks: Marks, key: MarkKey, handle: number): string {
  if (key === 'chart') return chartCorners[handle]!
  if (typeof key === 'number' && marks.list[key]?.kind === 'round')
    return handle === 0 ? 'Middle of the round area' : 'Edge of the round area'
  return `${cornerNamesOf(handlesOf(marks, key))[handle]} corner`
}

/** All marks, drawn in screen pixels so that lines keep their weight. */
export function MarksDrawn({ view }: { view: View }) {
  const [marks, chosen, corners, drawing, tool] = useDesk(
    useShallow((s) => [s.marks, s.chosen, s.corners, s.drawing, s.tool]),
  )
  // what lay on another photo is drawn as something to be looked at; what was found in this one as what it is
  const proposal = useDesk((s) => s.proposal && s.from === 'last')
  const on = (p: Point) => toScreen(view, p)
  const outline = (points: Point[]) => `M${points.map((p) => on(p).join(' ')).join('L')}Z`
  const outer = proposal ? 'tray-line dashed' : 'tray-line'
  return (
    <>
      <svg className="tray-lines" aria-hidden="true">
        {marks.list.map((mark, i) => (
          <g key={`${mark.kind} ${i}`} className={chosen?.key === i ? 'chosen' : ''}>
            {mark.kind === 'round' ? (
              <Both className={outer} d={circle(on(mark.centre), mark.radius * view.scale)} />
            ) : (
              <Both className={outer} d={outline(mark.quad)} />
            )}
            {mark.kind === 'fade' ? <Both className="tray-line" d={cross(mark.quad.map(on))} /> : null}
            {mark.kind === 'bands'
              ? mark.cuts.map((_, cut) => (
                  <Both
                    key={cut}
                    className="tray-line dashed"
                    d={`M${cutLine(mark, cut)
                      .map((p) => on(p).join(' '))
                      .join('L')}`}
                  />
                ))
              : null}
          </g>
        ))}
        {[...(marks.card ? [marks.card] : []), ...marks.tiles].map(({ quad }, i) => (
          <Both key={`known ${i}`} className={outer} d={proposal ? outline(quad) : ticks(quad.map(on))} />
        ))}
        {marks.chart ? (
          <>
            <Both className={outer} d={outline(marks.chart.quad)} />
            <ChartDrawn chart={marks.chart} on={on} chosen={chosen?.key === 'chart'} />
          </>
        ) : null}
        {drawing ? (
          <Both
            className="tray-line"
            d={
              tool === 'round'
                ? circle(on(drawing.from), distance(on(drawing.from), on(drawing.to)))
                : outline(rectangleBetween(drawing.from, drawing.to))
            }
          />
        ) : null}
        {corners.map((corner) => (
          <Both key={corner.join(' ')} className="tray-line" d={plus(on(corner))} />
        ))}
      </svg>
      <Plates view={view} />
      {chosen ? <Handles markKey={chosen.key} view={view} /> : null}
      <CutHandles view={view} />
    </>
  )
}

function Handles({ markKey, view }: { markKey: MarkKey; view: View }) {
  const [marks, chosen, snapped] = useDesk(useShallow((s) => [s.marks, s.chosen, s.snapped]))
  return handlesOf(marks, markKey).map((point, i) => {
    const [left, top] = toScreen(view, point)
    return (
      <button
        key={i}
        type="button"
        className={`tray-handle ${snapped && chosen?.handle === i ? 'snapped' : ''}`}
        tabIndex={-1}
        aria-pressed={chosen?.handle === i}
        aria-label={handleName(marks, markKey, i)}
        style={{ left, top }}
        onClick={() => chooseMark({ key: markKey, handle: i, band: chosen?.band ?? 0 })}
      >
        {/* the number at the chart's first corner is that of its patch */}
        {markKey === 'chart' ? null : <span aria-hidden="true">{i + 1}</span>}
      </button>
    )
  })
}

/** A line that shows on any paint: white below, black on top. */
function Both({ d, className }: { d: string; className: string }) {
  return (
    <>
      <path className={`${className} under`} d={d} />
      <path className={className} d={d} />
    </>
  )
}

const distance = (a: Point, b: Point) => Math.hypot(a[0] - b[0], a[1] - b[1])
const circle = ([x, y]: Point, r: number) =>
  `M${x - r} ${y}A${r} ${r} 0 1 0 ${x + r} ${y}A${r} ${r} 0 1 0 ${x - r} ${y}Z`
const cross = ([a, b, c, d]: Point[]) => `M${a!.join(' ')}L${c!.join(' ')}M${b!.join(' ')}L${d!.join(' ')}`
const plus = ([x, y]: Point) => `M${x - 9} ${y}H${x + 9}M${x} ${y - 9}V${y + 9}`

/** The corners of an outline as short angles, a quarter of its sides and 30 px at most. */
function ticks(points: Point[]): string {
  return points
    .map((p, i) => {
      const towards = (q: Point): string => {
        const share = Math.min(0.25, 30 / Math.max(distance(p, q), 1))
        return `${p[0] + (q[0] - p[0]) * share} ${p[1] + (q[1] - p[1]) * share}`
      }
      return `M${towards(points[(i + 3) % 4]!)}L${p.join(' ')}L${towards(points[(i + 1) % 4]!)}`
    })
    .join('')
}
