import type { KeyboardEvent } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { changeMarks, useDesk } from '../desk-state.ts'
import { type BandsMark, cutLine } from '../marks.ts'
import { moveCut } from '../moving.ts'
import { toScreen, type View } from './zoom.ts'

/** The cuts between steps as sliders of their own for the keyboard; the pointer drags the lines themselves. */
export function CutHandles({ view }: { view: View }) {
  const [marks, photo] = useDesk(useShallow((s) => [s.marks, s.photo]))
  return marks.list.flatMap((mark, key) => {
    if (mark.kind !== 'bands') return []
    return mark.cuts.map((at, cut) => {
      const [a, b] = cutLine(mark, cut).map((p) => toScreen(view, p))
      const place = { left: (a![0] + b![0]) / 2, top: (a![1] + b![1]) / 2 }
      const step = 1 / Math.max(lengthAlong(mark) * view.scale, 2)
      const turn = (event: KeyboardEvent) => {
        const way = { ArrowUp: -1, ArrowLeft: -1, ArrowDown: 1, ArrowRight: 1 }[event.key]
        if (way === undefined || !photo) return
        event.preventDefault()
        event.stopPropagation()
        changeMarks(moveCut(marks, key, cut, at + way * step * (event.shiftKey ? 10 : 1)), `cut ${key} ${cut}`)
      }
      return (
        <span
          key={`${key} ${cut}`}
          className={`tray-cut ${mark.run}`}
          role="slider"
          tabIndex={0}
          aria-label={`Edge between band ${cut + 1} and band ${cut + 2}`}
          aria-valuemin={0}
          aria-valuemax={100}
          aria-valuenow={Math.round(at * 100)}
          aria-valuetext={`${Math.round(at * 100)} % of the panel`}
          style={place}
          onKeyDown={turn}
        />
      )
    })
  })
}

/** Photo pixels along which the bands follow one another. */
function lengthAlong({ quad: [a, b, , d], run }: BandsMark): number {
  const to = run === 'down' ? d : b
  return Math.hypot(to[0] - a[0], to[1] - a[1])
}
