import type { CustomerJob } from '../../../../shared-core/records/customer-job.ts'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { sayBound } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'
import { useFormulaPaint, useJobReference } from '../job-paint.ts'
import { judgeWords } from '../job-words.ts'
import { Pair } from '../pair.tsx'
import type { JobStep } from './progress.ts'

/** The order of the work at a glance, and the two colours that it is about. */
export function JobRail({ job, steps }: { job: CustomerJob; steps: readonly JobStep[] }) {
  return (
    <nav className="job-rail scroll" aria-label="Order of the work">
      <Colours job={job} />
      <ol>
        {steps.map((step, i) => (
          <li key={step.id}>
            <a
              href={`#job-${step.id}`}
              className={`is-${step.state}`}
              aria-current={step.state === 'now' ? 'step' : undefined}
              onClick={(event) => {
                event.preventDefault()
                goToStep(step.id)
              }}
            >
              <span className="job-mark num" aria-hidden="true">
                {step.state === 'done' ? <Tick /> : i + 1}
              </span>
              <span>
                <b>{step.title}</b>{' '}
                <span className="fine">
                  {step.state === 'done' ? <span className="vh">done. </span> : null}
                  {step.state === 'now' ? <b>Next: </b> : null}
                  {step.says}
                </span>
              </span>
            </a>
          </li>
        ))}
      </ol>
    </nav>
  )
}

/** Scrolls the steps alone (with large text the whole page): the bar and the head stay where they are. */
function goToStep(id: string): void {
  const section = document.getElementById(`job-${id}`)
  const scroller = section?.closest<HTMLElement>('.job-steps')
  const page = section?.closest<HTMLElement>('.job')
  if (!section || !scroller || !page) return
  const top = section.getBoundingClientRect().top
  for (const each of [scroller, page]) each.scrollTop += top - each.getBoundingClientRect().top
  section.focus({ preventScroll: true })
}

const Tick = () => (
  <svg width="18" height="16" viewBox="0 0 18 16" aria-hidden="true" strokeWidth="3">
    <path d="M2 8.5l5 5L16 2.5" />
  </svg>
)

function Colours({ job }: { job: CustomerJob }) {
  const settings = useStore((s) => s.settings)
  const wanted = useJobReference(job.referenceId)
  const paint = useFormulaPaint(job.formula)
  const reading = wanted?.reading
  const gamut = [reading?.lab, paint?.lab].map((lab) => (lab ? gamutWord(lab) : null)).find((word) => word !== null)
  return (
    <div className="job-colours well">
      <Pair
        tall
        left={
          reading
            ? { lab: reading.lab, label: `Reference: ${wanted.reference.name}` }
            : { lab: null, label: wanted ? 'No colour read yet' : 'No reference yet' }
        }
        right={
          paint
            ? { lab: paint.lab, label: paint.predicted ? 'Formula, predicted' : 'Formula, as its panel was read' }
            : { lab: null, label: job.formula ? 'Its colour is not known' : 'No formula yet' }
        }
      />
      <p className="job-pair-words num">
        <span>{reading ? `Wanted ± ${sayBound(reading.bound90, settings)}` : ''}</span>
        <span>
          {paint ? `${paint.predicted ? 'Predicted' : 'Formula'} ± ${sayBound(paint.bound90, settings)}` : ''}
        </span>
      </p>
      {reading || paint ? <p className="fine">{judgeWords}</p> : null}
      {gamut ? <p className="fine">{gamut}</p> : null}
    </div>
  )
}
