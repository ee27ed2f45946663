import { useShallow } from 'zustand/react/shallow'
import { sheetQuad } from '../../../../shared-core/find/sheet/sheet-quad.ts'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'
import { useDesk } from '../desk-state.ts'
import { guessesOf, guessInWords, meanOf } from '../proposing/found.ts'
import { takeGuess } from '../proposing/proposing.ts'
import { toScreen, type View } from './zoom.ts'

/** What was found without being sure: thin and broken lines, and a plate in the middle that takes it among the marks. */
export function GuessesDrawn({ view }: { view: View }) {
  const desk = useDesk(useShallow(({ made, marks, proposal, photo }) => ({ made, marks, proposal, photo })))
  const tool = useDesk((s) => s.tool)
  const guesses = guessesOf(desk)
  const { sheet } = desk.marks
  const on = (p: Point) => toScreen(view, p)
  return (
    <>
      <svg className="tray-lines" aria-hidden="true">
        {sheet ? (
          <Line className="tray-page" d={corners(sheetQuad(sheet, { xMm: 0, yMm: 0, ...sheet.print.paper }).map(on))} />
        ) : null}
        {guesses.map(({ id, quad, steps }) => (
          <g key={id}>
            <Line className="tray-perhaps" d={outline(quad, on)} />
            {steps.slice(1).map(([a, b], i) => (
              <Line key={i} className="tray-perhaps" d={`M${on(a).join(' ')}L${on(b).join(' ')}`} />
            ))}
          </g>
        ))}
      </svg>
      {tool
        ? null
        : guesses.map((guess) => {
            const [left, top] = on(meanOf(guess.quad))
            return (
              <button
                key={guess.id}
                type="button"
                className="tray-guess"
                data-own-pointer
                aria-label={`Take ${guessInWords(guess)}`}
                style={{ left, top }}
                onClick={() => takeGuess(guess)}
              >
                <span>{guessInWords(guess)}</span>
              </button>
            )
          })}
    </>
  )
}

function Line({ className, d }: { className: string; d: string }) {
  return (
    <>
      <path className={`${className} under`} d={d} />
      <path className={className} d={d} />
    </>
  )
}

const outline = (quad: Quad, on: (p: Point) => Point) => `M${quad.map((p) => on(p).join(' ')).join('L')}Z`

/** A short angle at each corner of the page, from its edges inwards. */
const cornerPx = 18
function corners(points: Point[]): string {
  return points
    .map((p, i) => {
      const towards = (q: Point): string => {
        const far = Math.max(Math.hypot(q[0] - p[0], q[1] - p[1]), 1)
        const share = Math.min(cornerPx / far, 0.2)
        return `${p[0] + (q[0] - p[0]) * share} ${p[1] + (q[1] - p[1]) * share}`
      }
      return `M${towards(points[(i + 3) % 4]!)}L${p.join(' ')}L${towards(points[(i + 1) % 4]!)}`
    })
    .join('')
}
