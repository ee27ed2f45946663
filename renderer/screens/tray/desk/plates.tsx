import { useShallow } from 'zustand/react/shallow'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { chooseMark, useDesk } from '../desk-state.ts'
import { type AreaOfMark, areasOf, type Marks } from '../marks.ts'
import { toScreen, type View } from './zoom.ts'

/** Black plates beside the marks: what each one is. Tab walks along them. */
export function Plates({ view }: { view: View }) {
  const [marks, chosen, panel, room] = useDesk(useShallow((s) => [s.marks, s.chosen, s.panel, s.room]))
  return (
    <>
      {areasOf(marks).map((area, i) => {
        const spot = spotFor(area, marks, view)
        const step = panel?.steps.find((s) => s.id === area.area.stepId)
        const here = chosen?.key === area.mark && chosen.band === area.band
        // A plate that would leave the desk on the left stands inside the panel.
        const side = spot.side === 'left' && spot.at[0] < 64 ? 'inside' : spot.side
        return (
          <button
            key={`${area.mark} ${area.band}`}
            type="button"
            className={`tray-plate ${side} ${here ? 'here' : ''}`}
            data-own-pointer
            aria-label={nameOf(area, i, step?.coats)}
            aria-pressed={here}
            style={held(spot.at, room)}
            onFocus={() => chooseMark({ key: area.mark, handle: chosen?.handle ?? null, band: area.band })}
            onClick={() => chooseMark({ key: area.mark, handle: null, band: area.band })}
          >
            {plateOf(area, i, panel)}
          </button>
        )
      })}
      {marks.card ? (
        <button
          type="button"
          className={`tray-plate above ${chosen?.key === 'card' ? 'here' : ''}`}
          data-own-pointer
          aria-label="Grey card"
          aria-pressed={chosen?.key === 'card'}
          style={held(topOf(marks.card.quad, view), room)}
          onFocus={() => chooseMark({ key: 'card', handle: chosen?.handle ?? null, band: 0 })}
          onClick={() => chooseMark({ key: 'card', handle: null, band: 0 })}
        >
          card
        </button>
      ) : null}
    </>
  )
}

const held = ([left, top]: Point, room: { width: number; height: number }) => ({
  left: Math.min(Math.max(left, 4), Math.max(room.width - 4, 4)),
  top: Math.min(Math.max(top, 28), Math.max(room.height - 16, 28)),
})

function plateOf({ area }: AreaOfMark, index: number, panel: Panel | null) {
  const step = panel?.steps.find((s) => s.id === area.stepId)
  const kind = area.shape.kind === 'fade' ? 'fade ' : ''
  if (step) {
    return (
      <>
        {kind}
        {step.coats} <Strokes coats={step.coats} />
      </>
    )
  }
  return panel ? `${kind}step ?` : `${kind}area ${index + 1}`
}

export function nameOf({ area }: AreaOfMark, index: number, coats: number | undefined): string {
  const shape = { quad: 'Area', round: 'Round area', fade: 'Fade' }[area.shape.kind]
  return coats === undefined ? `${shape} ${index + 1}` : `${shape} ${index + 1}, ${coatsInWords(coats)}`
}

const mid = (a: Point, b: Point): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]
const topOf = (quad: Quad, view: View): Point => toScreen(view, mid(quad[0], quad[1]))

function spotFor({ area, mark }: AreaOfMark, marks: Marks, view: View): { at: Point; side: 'left' | 'above' } {
  const { shape } = area
  if (shape.kind === 'round') {
    const [x, y] = toScreen(view, shape.centre)
    return { at: [x, y - shape.radius * view.scale], side: 'above' }
  }
  const whole = marks.list[mark]!
  if (whole.kind === 'bands' && whole.run === 'down')
    return { at: toScreen(view, mid(shape.quad[0], shape.quad[3])), side: 'left' }
  return { at: topOf(shape.quad, view), side: 'above' }
}
