import { type KeyboardEvent, useRef } from 'react'
import { cellAt, labelsOnSheet } from '../../../shared-core/label/sheet/on-grid.ts'
import type { LabelGrid } from '../../../shared-core/records/sheet.ts'

type Props = { grid: LabelGrid; start: number; onStart: (start: number) => void }

/** A sheet in small: labels that are gone are struck out, and a press says where to begin. */
export function StartDrawing({ grid, start, onStart }: Props) {
  const drawing = useRef<SVGSVGElement>(null)
  const count = labelsOnSheet(grid)
  const move = (to: number) => {
    if (to < 1 || to > count) return
    onStart(to)
    drawing.current?.querySelector<SVGGElement>(`[data-place="${to}"]`)?.focus()
  }
  const onKeyDown = (event: KeyboardEvent) => {
    const by = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: grid.columns, ArrowUp: -grid.columns }[event.key]
    if (by !== undefined) move(start + by)
    else if (event.key === 'Home') move(1)
    else if (event.key === 'End') move(count)
    else return
    event.preventDefault()
  }
  return (
    <svg
      ref={drawing}
      className="print-start"
      viewBox={`0 0 ${grid.paper.widthMm} ${grid.paper.heightMm}`}
      role="radiogroup"
      tabIndex={-1}
      aria-label="First label to be printed"
      onKeyDown={onKeyDown}
    >
      <rect className="print-start-page" width={grid.paper.widthMm} height={grid.paper.heightMm} />
      {Array.from({ length: count }, (_, index) => {
        const place = index + 1
        const { xMm, yMm } = cellAt(grid, index)
        const { widthMm, heightMm } = grid.label
        const state = place < start ? 'is-gone' : place === start ? 'is-first' : ''
        return (
          <g
            key={place}
            className={`print-start-label ${state}`}
            role="radio"
            aria-checked={place === start}
            aria-label={`Label ${place}`}
            tabIndex={place === start ? 0 : -1}
            data-place={place}
            onClick={() => move(place)}
          >
            <rect x={xMm + 1} y={yMm + 1} width={widthMm - 2} height={heightMm - 2} />
            {place < start ? (
              <path d={`M${xMm + 1} ${yMm + heightMm - 1}L${xMm + widthMm - 1} ${yMm + 1}`} />
            ) : (
              <text x={xMm + widthMm / 2} y={yMm + heightMm / 2}>
                {place}
              </text>
            )}
          </g>
        )
      })}
    </svg>
  )
}
