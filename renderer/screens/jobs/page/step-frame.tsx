import type { ReactNode } from 'react'
import type { JobStep, StepState } from './progress.ts'

const stateInWords: Record<StepState, string> = { done: 'done', now: 'next', later: '' }

/** One step of the work: its number, its name, what is next, and what can be done. */
export function StepFrame({ step, number, children }: { step: JobStep; number: number; children: ReactNode }) {
  return (
    <section
      className={`job-step is-${step.state}`}
      id={`job-${step.id}`}
      aria-labelledby={`job-${step.id}-name`}
      tabIndex={-1}
    >
      <header>
        <span className="job-number num" aria-hidden="true">
          {number}
        </span>
        <h2 className="say" id={`job-${step.id}-name`}>
          {step.title}
        </h2>
        <p className="job-says">
          {stateInWords[step.state] ? <b className="vh">{stateInWords[step.state]}: </b> : null}
          {step.says}
        </p>
      </header>
      <div className="job-step-body">{children}</div>
    </section>
  )
}
