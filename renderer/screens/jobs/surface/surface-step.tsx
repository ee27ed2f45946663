import { useState } from 'react'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import { mixForJob } from '../../../commands/jobs/mix-for-job.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'
import { useStore } from '../../../state/store.ts'
import { newId } from '../job-words.ts'
import type { StepProps } from '../page/job-page.tsx'
import { StepFrame } from '../page/step-frame.tsx'
import { areaInWords, totalArea } from './areas.ts'
import { dropNewPart, keptNewPart, PartEditor } from './part-editor.tsx'

/** The parts that are painted, their surface, and the cups that were mixed for them. */
export function SurfaceStep({ job, shown, change, step, number }: StepProps) {
  const settings = useStore((s) => s.settings)
  const [adding, setAdding] = useState(() => keptNewPart(job.id) !== null)
  const [open, setOpen] = useState<string | null>(null)
  const put = (part: PartToPaint) => change({ parts: job.parts.map((each) => (each.id === part.id ? part : each)) })
  return (
    <StepFrame step={step} number={number}>
      {job.parts.length > 0 ? (
        <ul className="job-list">
          {job.parts.map((part) => (
            <li key={part.id} className="job-part">
              <p className="job-part-line">
                <b>{part.name}</b>
                <span className="num">{areaInWords({ areaM2: part.areaM2, doubt: part.areaDoubt }, settings)}</span>
                <ChangeButton
                  type="button"
                  className="btn plain push"
                  aria-expanded={open === part.id}
                  aria-label={open === part.id ? `Close ${part.name}` : `Change ${part.name}`}
                  onClick={() => setOpen(open === part.id ? null : part.id)}
                >
                  {open === part.id ? 'Close' : 'Change'}
                </ChangeButton>
                <ChangeButton
                  type="button"
                  className="btn plain"
                  aria-label={`Take off ${part.name}`}
                  onClick={() => change({ parts: job.parts.filter(({ id }) => id !== part.id) })}
                >
                  Take off
                </ChangeButton>
              </p>
              {open === part.id ? <PartEditor jobId={job.id} part={part} onPart={put} /> : null}
            </li>
          ))}
        </ul>
      ) : null}
      {job.parts.length > 1 ? (
        <p className="lead">
          Together <b className="num">{areaInWords(totalArea(job.parts), settings)}</b>
        </p>
      ) : null}
      {adding ? (
        <div className="job-part is-new">
          <PartEditor
            jobId={job.id}
            part={null}
            onPart={(part) => {
              change({ parts: [...job.parts, { ...part, id: newId() }] })
              setAdding(false)
            }}
            onCancel={() => {
              dropNewPart(job.id)
              setAdding(false)
            }}
          />
        </div>
      ) : null}
      <p className="jobs-acts">
        {adding ? null : (
          <ChangeButton type="button" className="btn" onClick={() => setAdding(true)}>
            Add a part
          </ChangeButton>
        )}
        <CommandButton command={mixForJob} look={step.state === 'now' ? '' : 'main'} />
      </p>
      <Cups cups={shown.cups} />
    </StepFrame>
  )
}

const cupStatus: Record<Cup['status'], string> = {
  pouring: 'being poured',
  mixed: 'mixed',
  'thrown-away': 'thrown away',
}

function Cups({ cups }: { cups: readonly Cup[] }) {
  const settings = useStore((s) => s.settings)
  if (cups.length === 0) return null
  return (
    <>
      <h3 className="railname">Cups for this job</h3>
      <ul className="job-cups">
        {cups.map((cup) => (
          <li key={cup.id}>
            <PlaceLink className="job-cup" to={{ at: 'mix', cupId: cup.code, from: null }}>
              <b className="num">{cup.code}</b>
              <span>{cup.target.words || cup.title}</span>
              <span className="fine">
                {[
                  cupStatus[cup.status],
                  cup.mixedAt ? `${sayDay(cup.mixedAt)}, ${sayTime(cup.mixedAt, settings)}` : '',
                  cup.mixedBy ? `by ${cup.mixedBy}` : '',
                ]
                  .filter(Boolean)
                  .join(', ')}
              </span>
            </PlaceLink>
          </li>
        ))}
      </ul>
    </>
  )
}
