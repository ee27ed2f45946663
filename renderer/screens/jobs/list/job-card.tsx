import type { CustomerJob } from '../../../../shared-core/records/customer-job.ts'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { upperFirst } from '../../match/reading-words.ts'
import { useFormulaPaint, useJobReference } from '../job-paint.ts'
import { differenceInWords, dueInWords, lastCheck, localDay, statusInWords, verdictInWords } from '../job-words.ts'
import { Pair } from '../pair.tsx'
import { VerdictSign } from '../verdict-sign.tsx'

/** One job at a glance: the colour wanted against the paint chosen, how near the last check came, when it is due. */
export function JobCard({ job }: { job: CustomerJob }) {
  const wanted = useJobReference(job.referenceId)
  const paint = useFormulaPaint(job.formula)
  const due = dueInWords(job, localDay())
  return (
    <li>
      <PlaceLink className="jobs-card" to={{ at: 'jobs', key: job.code }}>
        <Pair
          left={
            wanted?.reading
              ? { lab: wanted.reading.lab, label: `Reference: ${wanted.reference.name}` }
              : { lab: null, label: wanted ? 'Reference without a colour' : 'No reference yet' }
          }
          right={
            paint
              ? { lab: paint.lab, label: paint.predicted ? 'Formula, predicted' : 'Formula, as its panel was read' }
              : { lab: null, label: job.formula ? 'Colour not known' : 'No formula yet' }
          }
        />
        <span className="jobs-card-words">
          <span className="lead">
            <b className="num">{job.code}</b> {job.title}
          </span>
          {job.customer ? <span>{job.customer}</span> : null}
          <span className="fine">
            {wanted ? wanted.reference.name : 'Reference to be chosen'}
            {paint?.predicted ? '. The right half is predicted.' : ''}
          </span>
          <LastCheck job={job} />
          <span className="jobs-card-foot">
            <b>{statusInWords[job.status]}</b>
            {due ? due.startsWith('was') ? <b>{upperFirst(due)}</b> : <span>{upperFirst(due)}</span> : null}
          </span>
        </span>
      </PlaceLink>
    </li>
  )
}

function LastCheck({ job }: { job: CustomerJob }) {
  const settings = useStore((s) => s.settings)
  const { value } = useAnswer('customerJobs.get', job.checks.length > 0 ? { key: job.code } : null)
  const last = lastCheck(value?.outcomes ?? [])
  if (!last) return <span>{job.checks.length > 0 ? '' : 'No check panel yet'}</span>
  return (
    <span className="jobs-card-check">
      <VerdictSign verdict={last.verdict} />
      <span>
        {last.verdict === 'not-read' ? (
          `${last.code} waits to be photographed`
        ) : (
          <>
            <b className="num">{differenceInWords(last, settings)}</b> {verdictInWords[last.verdict].toLowerCase()}
          </>
        )}
      </span>
    </span>
  )
}
