import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { CheckOutcome, CustomerJob } from '../../../../shared-core/records/customer-job.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { upperFirst } from '../../match/reading-words.ts'
import { lastCheck } from '../job-words.ts'
import { hasCoats } from '../sprayed/as-sprayed.ts'

export type StepId = 'reference' | 'formula' | 'surface' | 'checks' | 'correction' | 'decision' | 'sprayed' | 'paper'
export type StepState = 'done' | 'now' | 'later'
export type JobStep = {
  id: StepId
  title: string
  state: StepState
  /** What is next here, or what stands. */
  says: string
}

type Progress = {
  job: CustomerJob
  outcomes: readonly CheckOutcome[]
  cups: readonly Cup[]
  /** Null: not chosen, or gone; undefined: not known yet. */
  referenceName: string | null | undefined
}
type Said = Omit<JobStep, 'state'> & { done: boolean }

/** The order of the work. The first step that is not done is what is to be done now; the others can be done at any time. */
export function stepsOf(progress: Progress): JobStep[] {
  const said: Said[] = [
    reference(progress),
    formula(progress),
    surface(progress),
    checks(progress),
    correction(progress),
    decision(progress),
    sprayed(progress),
    { id: 'paper', title: 'Paper', done: true, says: 'Job sheet and labels, whenever you need them.' },
  ]
  const now = said.findIndex(({ done }) => !done)
  return said.map(({ done, ...step }, i) => ({
    ...step,
    state: i === now ? 'now' : done && step.id !== 'paper' ? 'done' : 'later',
  }))
}

const reference = ({ job, referenceName }: Progress): Said => ({
  id: 'reference',
  title: 'Reference',
  done: job.referenceId !== null && referenceName !== null,
  says:
    job.referenceId === null
      ? 'Choose the colour that the customer wants.'
      : referenceName === null
        ? 'It was removed. Choose another, or take the removal back with Undo.'
        : `${referenceName ?? 'Chosen'}.`,
})

function formula({ job }: Progress): Said {
  const says = job.formula
    ? `${upperFirst(coatsInWords(job.formula.coats))}${job.formula.ground ? ` over ${job.formula.ground}` : ''}.`
    : job.candidates.length > 0
      ? 'Take one of those considered, or type it.'
      : 'Take the nearest panel’s, or type it.'
  return { id: 'formula', title: 'Formula', done: job.formula !== null, says }
}

function surface({ job, cups }: Progress): Said {
  const done = job.parts.length > 0
  const mixed = cups.filter(({ status }) => status === 'mixed').length
  const says = !done
    ? 'Add the parts that are painted, with their area.'
    : mixed > 0
      ? mixed === 1
        ? '1 cup mixed.'
        : `${mixed} cups mixed.`
      : 'Mix what this surface needs.'
  return { id: 'surface', title: 'Surface and quantity', done, says }
}

/** The formula was corrected after the check panel that was added last: a new one has to show whether that was right. */
function isCorrected({ job }: Progress): boolean {
  const corrected = job.decisions.findLast(({ what }) => what === 'corrected')
  const added = job.checks
    .map(({ addedAt }) => addedAt)
    .toSorted()
    .at(-1)
  return corrected !== undefined && (added === undefined || corrected.at > added)
}

function checks(progress: Progress): Said {
  const { outcomes } = progress
  const last = lastCheck(outcomes)
  const newest = outcomes.at(-1)
  const corrected = isCorrected(progress)
  const saysOf = (): string => {
    if (!last || !newest) return 'Spray a check panel before the part.'
    if (corrected) return 'Spray a check panel of the changed formula.'
    if (newest.verdict === 'not-read') return `Photograph ${newest.code} together with the reference.`
    if (last.verdict === 'within') return `${last.code} is within your tolerance.`
    if (last.verdict === 'doubtful') return `${last.code} is on the line: look at what would settle it.`
    return `${last.code} is beyond your tolerance.`
  }
  // who accepts the colour has judged by eye
  const accepted = progress.job.status !== 'open'
  const done = accepted || (newest !== undefined && newest.verdict !== 'not-read' && !corrected)
  return { id: 'checks', title: 'Check panels', done, says: saysOf() }
}

function correction(progress: Progress): Said {
  const last = lastCheck(progress.outcomes)
  const within = last?.verdict === 'within'
  const corrected = isCorrected(progress)
  const accepted = progress.job.status !== 'open'
  const says = accepted
    ? 'Nothing more: the colour is accepted.'
    : corrected
      ? 'The formula was changed.'
      : within
        ? 'Nothing to correct.'
        : last && last.verdict !== 'not-read'
          ? `Ask what would bring ${last.code} nearer.`
          : 'Once a check panel has been read.'
  return { id: 'correction', title: 'Correction', done: accepted || within || corrected, says }
}

function decision({ job, outcomes }: Progress): Said {
  const last = job.decisions.findLast(({ what }) => what === 'accepted' || what === 'refused')
  const done = job.status !== 'open'
  const says = done
    ? 'Accepted.'
    : last?.what === 'refused'
      ? 'Refused last time. Spray another check panel.'
      : lastCheck(outcomes)?.verdict === 'within'
        ? 'Accept it, or refuse it.'
        : 'Once a check panel convinces you.'
  return { id: 'decision', title: 'Decision', done, says }
}

function sprayed({ job }: Progress): Said {
  const open = job.parts.filter((part) => !hasCoats(part))
  const done = job.parts.length > 0 && open.length === 0
  const says = done
    ? 'Written down. A touch-up starts here.'
    : job.parts.length === 0
      ? 'Count coats for each part, once parts are added.'
      : open.length === 1
        ? `Write down how ${open[0]!.name} is sprayed.`
        : `Write down how ${open.length} parts are sprayed.`
  return { id: 'sprayed', title: 'As sprayed', done, says }
}
