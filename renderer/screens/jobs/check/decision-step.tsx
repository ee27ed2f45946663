import { useState } from 'react'
import type { JobDecision } from '../../../../shared-core/records/customer-job.ts'
import { ChangeButton, ChangeFields } from '../../../parts/change-only.tsx'
import { FieldError } from '../../../parts/field-error.tsx'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'
import { useKept } from '../../../state/draft.ts'
import type { JobChange } from '../../../state/job-edits.ts'
import { usePanelsBy } from '../../../state/panels-by.ts'
import { useStore } from '../../../state/store.ts'
import { lastCheck } from '../job-words.ts'
import type { StepProps } from '../page/job-page.tsx'
import { StepFrame } from '../page/step-frame.tsx'
import { TextField } from '../text-field.tsx'

const whatInWords: Record<JobDecision['what'], string> = {
  accepted: 'Accepted',
  corrected: 'Corrected',
  refused: 'Refused',
  note: 'Note',
}

const noName = {
  message: 'Nobody is named who decides.',
  remedy: 'Write the name of the customer, or yours, above.',
}

/** Whether the colour is accepted: with a day, a name and words, so that nobody has to remember. */
export function DecisionStep({ job, shown, change, step, number }: StepProps) {
  const painter = useStore((s) => s.settings.painter)
  const outcomes = shown.outcomes.filter(({ verdict }) => verdict !== 'not-read')
  const [words, setWords] = useKept(`decision ${job.id}`)
  const [who, setWho] = useState(painter)
  const [panelId, setPanelId] = useState<string | null>(null)
  const [asked, setAsked] = useState(false)
  const about = panelId ?? lastCheck(shown.outcomes)?.panelId ?? ''
  const isNamed = who.trim() !== ''
  const decide = (what: JobDecision['what'], more: JobChange = {}) => {
    // a note may be anybody's; a colour is accepted or refused by somebody
    setAsked(what !== 'note')
    if (what !== 'note' && !isNamed) return
    const entry = { at: new Date().toISOString(), who: who.trim(), what, panelId: about || null, words: words.trim() }
    change({ decisions: [...job.decisions, entry], ...more })
    setWords('')
  }
  return (
    <StepFrame step={step} number={number}>
      <ChangeFields>
        <div className="job-fields">
          <TextField
            label="Who decides"
            value={who}
            needed={asked}
            maxLength={120}
            onValue={setWho}
            hint="name of the customer, or yours"
          />
          <label className="field">
            <span>About</span>
            <select className="select" value={about} onChange={(event) => setPanelId(event.target.value)}>
              <option value="">no panel</option>
              {[...new Map(outcomes.map(({ panelId: id, code }) => [id, code]))].map(([id, code]) => (
                <option key={id} value={id}>
                  {code}
                </option>
              ))}
            </select>
          </label>
          <div className="job-wide">
            <TextField
              label="In words"
              lines={2}
              value={words}
              maxLength={2000}
              onValue={setWords}
              hint="seen beside the tank, in daylight at the door"
            />
          </div>
        </div>
        <FieldError id="job-who-decides" said={asked && !isNamed ? noName : null} />
        <p className="jobs-acts">
          <button
            type="button"
            className={`btn ${step.state === 'now' ? 'main' : ''}`}
            onClick={() => decide('accepted', { status: 'accepted' })}
          >
            Accept the colour
          </button>
          <ChangeButton type="button" className="btn" onClick={() => decide('refused', { status: 'open' })}>
            Refuse it
          </ChangeButton>
          <button
            type="button"
            className="btn plain"
            aria-disabled={words.trim() === ''}
            onClick={() => {
              if (words.trim() === '') useStore.getState().say('There is nothing to note yet.', 'Write it above first.')
              else decide('note')
            }}
          >
            Only note it
          </button>
        </p>
      </ChangeFields>
      <History decisions={job.decisions} />
    </StepFrame>
  )
}

/** The newest first. */
function History({ decisions }: { decisions: readonly JobDecision[] }) {
  const settings = useStore((s) => s.settings)
  const panels = usePanelsBy({ ids: decisions.map(({ panelId }) => panelId) })
  if (decisions.length === 0) return null
  return (
    <>
      <h3 className="railname">Decided so far</h3>
      <ol className="job-history">
        {decisions.toReversed().map((each) => {
          const code = panels.find(({ id }) => id === each.panelId)?.code
          return (
            <li key={`${each.at} ${each.what}`}>
              <b>{whatInWords[each.what]}</b>
              {code ? <PanelLink code={code} /> : null}
              <span className="fine">
                {[`${sayDay(each.at)}, ${sayTime(each.at, settings)}`, each.who ? `by ${each.who}` : '']
                  .filter(Boolean)
                  .join(', ')}
              </span>
              {each.words ? <p>{each.words}</p> : null}
            </li>
          )
        })}
      </ol>
    </>
  )
}
