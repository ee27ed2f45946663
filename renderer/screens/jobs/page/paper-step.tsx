import { printCheckLabels } from '../../../commands/jobs/print-check-labels.ts'
import { printJobSheet } from '../../../commands/jobs/print-job-sheet.ts'
import { removeJob } from '../../../commands/jobs/remove-job.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { JobFacts } from './job-head.tsx'
import type { StepProps } from './job-page.tsx'
import { StepFrame } from './step-frame.tsx'

/** What goes onto paper, and what the job is called. */
export function PaperStep({ job, step, number, change }: StepProps) {
  return (
    <StepFrame step={step} number={number}>
      <p>
        The sheet has the reference, the formula, the surface, the cups, the checks and what was sprayed, with room to
        write: it goes where the computer must not.
      </p>
      <p className="jobs-acts">
        <CommandButton command={printJobSheet} look="main" />
        <CommandButton command={printCheckLabels} />
      </p>
      <h3 className="railname">This job</h3>
      <JobFacts job={job} />
      <p className="jobs-acts">
        {job.status === 'closed' ? (
          <ChangeButton type="button" className="btn" onClick={() => change({ status: 'open' })}>
            Open it again
          </ChangeButton>
        ) : (
          <ChangeButton type="button" className="btn" onClick={() => change({ status: 'closed' })}>
            Close the job
          </ChangeButton>
        )}
        <CommandButton command={removeJob} look="plain" />
      </p>
    </StepFrame>
  )
}
