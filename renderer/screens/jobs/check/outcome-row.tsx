import type { Lab } from '../../../../shared-core/colour/lab.ts'
import type { CheckOutcome, JobCheck } from '../../../../shared-core/records/customer-job.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { usePanelsBy } from '../../../state/panels-by.ts'
import { useStore } from '../../../state/store.ts'
import { upperFirst } from '../../match/reading-words.ts'
import { differenceInWords, verdictInWords } from '../job-words.ts'
import { Pair } from '../pair.tsx'
import { TextField } from '../text-field.tsx'
import { VerdictSign } from '../verdict-sign.tsx'

type Props = {
  outcome: CheckOutcome
  check: JobCheck | undefined
  reference: Lab | null
  tolerance: number
  /** dE00 at the end of the axis. */
  end: number
  onNote: (note: string) => void
  onTakeOff: () => void
}

/** One check panel against the reference: the two colours, the figure, the verdict as a shape and in words. */
export function OutcomeRow({ outcome, check, reference, tolerance, end, onNote, onTakeOff }: Props) {
  const settings = useStore((s) => s.settings)
  const { code, stepId, coats, de00, verdict, words, advice, inOnePhoto } = outcome
  const band = usePanelsBy({ stepIds: [stepId] })
    .flatMap(({ bands }) => bands)
    .find((each) => each.stepId === stepId)
  const lab = band?.lab ?? null
  return (
    <li className="job-outcome" aria-label={`${code}: ${verdictInWords[verdict]}`}>
      <Pair
        tall
        left={{ lab: reference, label: reference ? 'Reference' : 'No reference' }}
        right={{ lab, label: lab ? code : 'Not read yet' }}
      />
      <div>
        <p className="job-verdict">
          <VerdictSign verdict={verdict} />
          <b className="lead">{verdictInWords[verdict]}</b>
        </p>
        {de00 === null ? null : (
          <p>
            <b className="say num">{differenceInWords(outcome, settings)}</b>{' '}
            <span className="num">{`dE00, tolerance ${sayNumber(tolerance, tolerance % 1 === 0 ? 0 : 1, settings)}`}</span>
          </p>
        )}
        <Against outcome={outcome} tolerance={tolerance} end={end} />
        {words ? <p>{upperFirst(words)}</p> : null}
        <p>
          <PanelLink code={code} />
          <span className="job-coats">
            <Strokes coats={coats} /> {coatsInWords(coats)}
          </span>
        </p>
        {inOnePhoto ? <p className="fine">In one photo with the reference: what both share is out of the ±.</p> : null}
        {advice ? <p>{advice}</p> : null}
        {check ? (
          <div className="job-line">
            <div className="job-grow">
              <TextField label="Note" value={check.note} maxLength={1000} onValue={onNote} />
            </div>
            <ChangeButton type="button" className="btn plain" onClick={onTakeOff}>
              Take off
            </ChangeButton>
          </div>
        ) : null}
      </div>
    </li>
  )
}

/** The interval of the difference; the dotted line is the tolerance. What runs past the end is cut there with an arrow. */
function Against({
  outcome: { de00, bound90 },
  tolerance,
  end,
}: {
  outcome: CheckOutcome
  tolerance: number
  end: number
}) {
  if (de00 === null) return null
  const on = (value: number) => `${(Math.min(Math.max(value, 0), end) / end) * 100}%`
  const bound = bound90 ?? 0
  return (
    <svg className="job-against" aria-hidden="true">
      <line x1="1" x2="1" y1="0" y2="100%" />
      <line x1={on(tolerance)} x2={on(tolerance)} y1="0" y2="100%" strokeDasharray="2 4" />
      <line x1={on(de00 - bound)} x2={on(de00 + bound)} y1="50%" y2="50%" strokeWidth="4" />
      {de00 <= end ? (
        <rect
          x={on(de00)}
          y="50%"
          width="14"
          height="14"
          transform="translate(-7 -7)"
          fill="currentColor"
          stroke="none"
        />
      ) : null}
      {de00 + bound > end ? (
        <svg x="100%" y="50%" overflow="visible">
          <path d="M-10 -8L2 0L-10 8Z" fill="currentColor" stroke="none" />
        </svg>
      ) : null}
    </svg>
  )
}
