import { type KeyboardEvent, useEffect, useRef, useState } from 'react'
import type { AsSprayed, CustomerJob, PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import { Caution } from '../../../parts/caution.tsx'
import { useOnTop } from '../../../parts/open-dialogs.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { useKept } from '../../../state/draft.ts'
import { type Counted, counted, countedInWords } from './as-sprayed.ts'
import { FlashOff } from './flash-off.tsx'

type Props = {
  job: CustomerJob
  part: PartToPaint
  sprayed: AsSprayed
  /** Stored at once: a coat that was counted is never lost. */
  onSprayed: (sprayed: AsSprayed) => void
  onClose: () => void
}

const offered: readonly Counted[] = ['midCoats', 'coats', 'clearCoats']
const isCounted = (word: string): word is Counted => offered.some((each) => each === word)

/** The count across the room: one big figure, one big button, the space bar; what is counted is stored at each press. */
export function CountBoard({ job, part, sprayed, onSprayed, onClose }: Props) {
  const board = useRef<HTMLDialogElement>(null)
  const big = useRef<HTMLButtonElement>(null)
  const [kept, setKept] = useKept(`counted ${job.id} ${part.id}`)
  const [lastAt, setLastAt] = useKept(`last coat ${job.id} ${part.id}`)
  const [said, setSaid] = useState('')
  const what: Counted = isCounted(kept) ? kept : 'coats'
  useOnTop(board)
  useEffect(() => {
    big.current?.focus()
  }, [])
  // two presses between two frames are two coats
  const newest = useRef(sprayed)
  useEffect(() => {
    newest.current = sprayed
  }, [sprayed])
  const count = (by: 1 | -1) => {
    const next = counted(newest.current, what, by)
    newest.current = next
    onSprayed(next)
    setSaid(`${coatsInWords(next[what])} of ${countedInWords[what].toLowerCase()}`)
    if (by === 1) setLastAt(new Date().toISOString())
    // the space bar goes on counting up
    big.current?.focus()
  }
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.target instanceof HTMLInputElement) return
    const onButton = event.target instanceof HTMLButtonElement
    if (event.key === ' ' && !onButton && !event.repeat) count(1)
    else if (event.key === 'Backspace' && !event.repeat) count(-1)
    else return
    event.preventDefault()
  }
  const wanted = what === 'coats' ? job.formula?.coats : undefined
  return (
    <dialog
      ref={board}
      className="job-board"
      aria-label={`Count coats on ${part.name}`}
      onKeyDown={onKeyDown}
      onCancel={(event) => {
        event.preventDefault()
        onClose()
      }}
    >
      <div className="job-board-top">
        <h2 className="say">
          <b className="num">{job.code}</b> {part.name}
          {sprayed.ground ? `, over ${sprayed.ground}` : ''}
        </h2>
        <div className="pair" role="group" aria-label="What is counted">
          {offered.map((each) => (
            <button
              key={each}
              type="button"
              aria-pressed={each === what}
              onClick={() => {
                setKept(each)
                big.current?.focus()
              }}
            >
              {`${countedInWords[each]} ${sprayed[each]}`}
            </button>
          ))}
        </div>
        <button type="button" className="btn push" onClick={onClose}>
          Done counting
        </button>
      </div>
      <div className="job-board-figure">
        <p className="num" aria-hidden="true">
          {sprayed[what]}
        </p>
        <p className="title">
          {sprayed[what] === 1 ? 'coat' : 'coats'}
          <span className="say">{wanted === undefined ? '' : `of ${wanted} in the formula`}</span>
          {sprayed[what] > 0 ? <Strokes coats={sprayed[what]} /> : null}
        </p>
        <FlashOff
          lastAt={lastAt}
          minutes={sprayed.flashOffMin}
          onMinutes={(flashOffMin) => onSprayed({ ...sprayed, flashOffMin })}
        />
      </div>
      <p className="vh" role="status">
        {said}
      </p>
      <div className="job-board-acts">
        <button type="button" className="btn" aria-label="One coat less" onClick={() => count(-1)}>
          One less
        </button>
        <button ref={big} type="button" className="btn main job-board-big" onClick={() => count(1)}>
          One coat more
          <kbd>Space</kbd>
        </button>
      </div>
      <Caution
        message="Electronics stay out of the booth: count on paper, type it afterwards."
        remedy="Count here only where this computer may stand while there is vapour."
      />
    </dialog>
  )
}
