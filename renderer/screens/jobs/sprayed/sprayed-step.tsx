import { ChangeButton, ChangeFields } from '../../../parts/change-only.tsx'
import './sprayed.css'
import { useState } from 'react'
import type { PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import { sayDay } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { act } from '../../../state/asking.ts'
import { useKept } from '../../../state/draft.ts'
import { changeSprayed, flushJob } from '../../../state/job-edits.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { Cautions } from '../cautions.tsx'
import { localDay } from '../job-words.ts'
import type { StepProps } from '../page/job-page.tsx'
import { StepFrame } from '../page/step-frame.tsx'
import { beforeTheFirstCoat, hasCoats, touchUpOf } from './as-sprayed.ts'
import { CountBoard } from './count-board.tsx'
import { SprayedForm } from './sprayed-form.tsx'

/** What really went onto each part. */
export function SprayedStep({ job, shown, change, step, number }: StepProps) {
  const painter = useStore((s) => s.settings.painter)
  const [open, setOpen] = useState<string | null>(null)
  // a reload in the middle of a coat comes back to the board
  const [counting, setCounting] = useKept(`counting ${job.id}`)
  const board = job.parts.find(({ id, sprayed }) => id === counting && sprayed !== null)
  const begin = (part: PartToPaint) => {
    if (part.sprayed === null)
      changeSprayed(job.id, part.id, beforeTheFirstCoat(job, shown.cups, painter, localDay()), 'now')
  }
  const allSprayed = job.parts.length > 0 && job.parts.every(hasCoats)
  return (
    <StepFrame step={step} number={number}>
      {job.parts.length === 0 ? <p>Each part added under Surface and quantity gets its own record here.</p> : null}
      <ul className="job-list">
        {job.parts.map((part) => (
          <li key={part.id} className="job-sprayed">
            <PartLine
              part={part}
              open={open === part.id}
              onOpen={() => {
                begin(part)
                setOpen(open === part.id ? null : part.id)
              }}
              onCount={() => {
                begin(part)
                setCounting(part.id)
              }}
              onTouchUp={() => void touchUp(job, part)}
            />
            {open === part.id && part.sprayed ? (
              <ChangeFields>
                <SprayedForm
                  sprayed={part.sprayed}
                  cups={shown.cups}
                  onSprayed={(sprayed) => changeSprayed(job.id, part.id, sprayed)}
                  onTakeBack={() => {
                    changeSprayed(job.id, part.id, null, 'now')
                    setOpen(null)
                  }}
                />
              </ChangeFields>
            ) : null}
          </li>
        ))}
      </ul>
      {job.parts.length > 0 ? (
        <p>
          <b>Electronics stay out of the booth: count on paper, type it afterwards.</b> The live count is for work where
          this computer may stand.
        </p>
      ) : null}
      {allSprayed && (job.status === 'open' || job.status === 'accepted') ? (
        <p className="jobs-acts">
          <ChangeButton type="button" className="btn main" onClick={() => change({ status: 'painted' })}>
            Everything is painted
          </ChangeButton>
        </p>
      ) : null}
      <Cautions mixture={job.formula?.mixture ?? null} steps={['spray', 'clean', 'sand']} />
      {board?.sprayed ? (
        <CountBoard
          job={job}
          part={board}
          sprayed={board.sprayed}
          onSprayed={(sprayed) => changeSprayed(job.id, board.id, sprayed, 'now')}
          onClose={() => setCounting('')}
        />
      ) : null}
    </StepFrame>
  )
}

async function touchUp(job: StepProps['job'], part: PartToPaint): Promise<void> {
  await flushJob(job.id)
  const made = await act('customerJobs.save', { draft: touchUpOf(job, part) })
  if (!made) return
  go({ at: 'jobs', key: made.job.code })
  useStore.getState().say(`${made.job.code} starts from ${part.name} of ${job.code}.`, 'Add the part and its surface.')
}

type LineProps = {
  part: PartToPaint
  open: boolean
  onOpen: () => void
  onCount: () => void
  onTouchUp: () => void
}

function PartLine({ part, open, onOpen, onCount, onTouchUp }: LineProps) {
  const { sprayed } = part
  // what is written down can be looked at, opening begins what is not
  const Opens = sprayed ? 'button' : ChangeButton
  return (
    <div className="job-sprayed-line">
      <div className="job-grow">
        <p className="lead">
          <b>{part.name}</b>
        </p>
        {sprayed ? (
          <p>
            {sprayed.coats === 0 ? (
              'No coat of candy yet'
            ) : (
              <span className="job-coats">
                <Strokes coats={sprayed.coats} /> {coatsInWords(sprayed.coats)}
              </span>
            )}
            {[
              sprayed.ground ? ` over ${sprayed.ground}` : '',
              sprayed.clearCoats > 0 ? `${coatsInWords(sprayed.clearCoats)} of clear` : '',
              sprayed.sprayedOn ? sayDay(sprayed.sprayedOn) : '',
              sprayed.sprayedBy ? `by ${sprayed.sprayedBy}` : '',
            ]
              .filter(Boolean)
              .join(', ')}
          </p>
        ) : (
          <p className="fine">not written down yet</p>
        )}
      </div>
      <ChangeButton type="button" className="btn" aria-label={`Count coats live on ${part.name}`} onClick={onCount}>
        Count coats live
      </ChangeButton>
      <Opens
        type="button"
        className="btn"
        aria-expanded={open}
        aria-label={open ? `Close what was sprayed on ${part.name}` : `Type what was sprayed on ${part.name}`}
        onClick={onOpen}
      >
        {open ? 'Close' : 'Type it'}
      </Opens>
      {sprayed ? (
        <ChangeButton type="button" className="btn plain" onClick={onTouchUp}>
          Touch-up: start from this
        </ChangeButton>
      ) : null}
    </div>
  )
}
