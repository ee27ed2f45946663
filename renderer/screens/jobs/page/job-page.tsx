import './page.css'
import './steps.css'
import { useLayoutEffect, useRef } from 'react'
import type { CustomerJob } from '../../../../shared-core/records/customer-job.ts'
import { Caution } from '../../../parts/caution.tsx'
import { changeJob, type JobChange, type ShownJob, useJob, useKeptEdits } from '../../../state/job-edits.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { CheckStep } from '../check/check-step.tsx'
import { CorrectionStep } from '../check/correction-step.tsx'
import { DecisionStep } from '../check/decision-step.tsx'
import { FormulaStep } from '../choose/formula-step.tsx'
import { ReferenceStep } from '../choose/reference-step.tsx'
import { useJobReference } from '../job-paint.ts'
import { SprayedStep } from '../sprayed/sprayed-step.tsx'
import { SurfaceStep } from '../surface/surface-step.tsx'
import { JobHead } from './job-head.tsx'
import { JobRail } from './job-rail.tsx'
import { PaperStep } from './paper-step.tsx'
import { type JobStep, type StepId, stepsOf } from './progress.ts'

/** What every step of the page is given. */
export type StepProps = {
  shown: ShownJob
  job: CustomerJob
  change: (change: JobChange) => void
  step: JobStep
  number: number
}

/** One job, as a single page in the order of the work. */
export function JobPage({ jobKey }: { jobKey: string }) {
  const { shown, error } = useJob(jobKey)
  if (error)
    return (
      <main className="jobs-absent" aria-label="Job">
        <Caution message={error.message} remedy={error.remedy} />
        <button type="button" className="btn" onClick={() => go({ at: 'jobs', key: null })}>
          All jobs
        </button>
      </main>
    )
  if (!shown) return <main className="jobs-absent" aria-label="Job" aria-busy="true" />
  return <Shown shown={shown} />
}

const pages: Record<StepId, (props: StepProps) => React.ReactNode> = {
  reference: ReferenceStep,
  formula: FormulaStep,
  surface: SurfaceStep,
  checks: CheckStep,
  correction: CorrectionStep,
  decision: DecisionStep,
  sprayed: SprayedStep,
  paper: PaperStep,
}

function Shown({ shown }: { shown: ShownJob }) {
  const { job } = shown
  useKeptEdits(job.id)
  const wanted = useJobReference(job.referenceId)
  const scrolled = useKeptScroll(`job ${job.id}`)
  const steps = stepsOf({ ...shown, referenceName: wanted && wanted.reference.name })
  return (
    <main ref={scrolled} className="job" aria-label={`Job ${job.code}`}>
      <JobHead job={job} />
      <JobRail job={job} steps={steps} />
      <div className="job-steps scroll">
        {steps.map((step, i) => {
          const Step = pages[step.id]
          return (
            <Step
              key={step.id}
              shown={shown}
              job={job}
              change={(change) => changeJob(job.id, change)}
              step={step}
              number={i + 1}
            />
          )
        })}
      </div>
    </main>
  )
}

/** Going back returns to the same spot. With large text the whole page scrolls, otherwise the steps alone. */
function useKeptScroll(place: string) {
  const page = useRef<HTMLElement>(null)
  useLayoutEffect(() => {
    const [all, steps] = [page.current, page.current?.querySelector('.job-steps')]
    if (!all || !steps) return
    const { scrolls, keepScroll } = useStore.getState()
    for (const each of [all, steps]) each.scrollTop = scrolls[place] ?? 0
    const keep = () => keepScroll(place, Math.max(all.scrollTop, steps.scrollTop))
    for (const each of [all, steps]) each.addEventListener('scroll', keep)
    return () => {
      for (const each of [all, steps]) each.removeEventListener('scroll', keep)
    }
  }, [place])
  return page
}
