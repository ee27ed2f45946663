import { memo } from 'react'
import type { PlanCell, Prediction, SprayedCell } from '../../../../shared-core/records/film.ts'
import { beyondWords, isBeyond } from '../../../parts/film/film-words.ts'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayBound } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useStore } from '../../../state/store.ts'

type Props = {
  cellKey: string
  groundName: string
  coats: number
  /** Undefined until it was worked out once. */
  cell: PlanCell | undefined
  waiting: boolean
  chosen: boolean
  /** Photos as they were taken, each in its own light, or what was read from them. */
  shows: 'photos' | 'colours'
  onChoose: (ground: string, coats: number) => void
}

/** The sprayed step that is shown: one that can be seen before one that only has a colour. */
export const shownStep = (sprayed: readonly SprayedCell[]): SprayedCell | null =>
  sprayed.find(({ cut }) => cut !== null) ?? sprayed.find(({ lab }) => lab !== null) ?? sprayed[0] ?? null

/** One colour: what was sprayed beside what is predicted, or the prediction alone, always with its ±. */
export const TableCell = memo(function TableCell(props: Props) {
  const { cellKey, coats, cell, waiting, chosen, onChoose, shows } = props
  const settings = useStore((s) => s.settings)
  const prediction = cell?.prediction ?? null
  const step = cell ? shownStep(cell.sprayed) : null
  const bound = prediction ? `± ${sayBound(prediction.bound90, settings)}` : null
  const beyond = prediction !== null && isBeyond(prediction)
  return (
    <button
      type="button"
      role="gridcell"
      className={`plan-cell ${beyond ? 'beyond' : ''}`}
      data-cell={cellKey}
      tabIndex={chosen ? 0 : -1}
      aria-selected={chosen}
      aria-label={labelOf(props, bound)}
      onClick={() => cell && onChoose(cell.ground, coats)}
    >
      <span className="plan-paint">
        {cell === undefined ? (
          <span className="plan-await" />
        ) : (
          <>
            {step && (step.cut !== null || step.lab !== null) ? (
              <Paint lab={step.lab} cut={step.cut} flat={shows === 'colours' && step.lab !== null} label="" />
            ) : null}
            {prediction ? <Paint lab={prediction.lab} label="" /> : step?.lab || step?.cut ? null : <Unknown />}
          </>
        )}
      </span>
      <span className="plan-say">
        {step ? (
          <b className="plan-plate">
            {step.code}
            {cell && cell.sprayed.length > 1 ? <small>{` +${cell.sprayed.length - 1}`}</small> : null}
          </b>
        ) : null}
        {bound !== null ? <em>{bound}</em> : null}
        {beyond ? (
          <span className="plan-beyond">
            <SmallTriangle />
            {step ? '' : 'beyond'}
          </span>
        ) : step || bound === null ? null : (
          <span> predicted</span>
        )}
        {cell !== undefined && prediction === null ? <span>not known</span> : null}
        {cell === undefined && waiting ? <span>…</span> : null}
      </span>
    </button>
  )
})

const Unknown = () => <span className="paint none" />

function labelOf({ groundName, coats, cell, waiting }: Props, bound: string | null): string {
  const where = coats === 0 ? `${groundName}, bare` : `${groundName}, ${coatsInWords(coats)}`
  if (!cell) return waiting ? `${where}, computing` : where
  const { prediction, sprayed } = cell
  return [
    where,
    ...(sprayed.length > 0 ? [`sprayed: ${sprayed.map(({ code }) => code).join(', ')}`] : []),
    ...(prediction ? [`predicted ${bound}`, ...said(prediction)] : ['not known']),
  ].join(', ')
}

const said = (prediction: Prediction): string[] => {
  const gamut = gamutWord(prediction.lab)
  return [...(isBeyond(prediction) ? [beyondWords] : []), ...(gamut ? [gamut] : [])]
}
