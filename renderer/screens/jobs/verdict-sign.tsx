import type { CheckOutcome } from '../../../shared-core/records/customer-job.ts'

/** The verdict as a shape: a filled disc with a tick, a half-filled one, a crossed square, a dashed ring. Words stand beside it. */
export function VerdictSign({ verdict }: { verdict: CheckOutcome['verdict'] }) {
  return (
    <svg className="verdict" width="24" height="24" viewBox="0 0 24 24" aria-hidden="true">
      {verdict === 'within' ? (
        <>
          <circle cx="12" cy="12" r="11" fill="currentColor" stroke="none" />
          <path className="verdict-cut" d="M6.5 12.5l3.8 3.8 7.2-8" strokeWidth="3" />
        </>
      ) : null}
      {verdict === 'doubtful' ? (
        <>
          <circle cx="12" cy="12" r="10" />
          <path d="M12 2a10 10 0 0 1 0 20z" fill="currentColor" stroke="none" />
        </>
      ) : null}
      {verdict === 'beyond' ? <path d="M3 3h18v18H3zM7 7l10 10M17 7L7 17" strokeWidth="2.5" /> : null}
      {verdict === 'not-read' ? <circle cx="12" cy="12" r="10" strokeDasharray="3 4" /> : null}
    </svg>
  )
}
