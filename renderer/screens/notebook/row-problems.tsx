import type { Output } from '../../../shared-core/contract/calls.ts'
import type { NotebookProblem } from '../../../shared-core/contract/panels-csv-calls.ts'
import type { NotebookChoices } from '../../../shared-core/records/notebook.ts'
import { Triangle } from '../../parts/icons.tsx'
import { countOf, rowsInWords } from './notebook-words.ts'

type Seen = Output<'panelsCsv.preview'>
type Props = { seen: Seen; choices: NotebookChoices; onChoice: (change: Partial<NotebookChoices>) => void }

/** Rows that do not go in, and rows of which something is to be known, each with why and what to do. */
export function RowProblems({ seen: { problems, moreProblems, counts }, choices, onChoice }: Props) {
  const refused = problems.filter((problem) => problem.refused)
  const said = problems.filter((problem) => !problem.refused)
  const misread = counts.refused > (choices.duplicates === 'leave-out' ? counts.duplicates : 0)
  if (problems.length === 0) return null
  return (
    <section className="block notebook-problems" aria-label="Rows to look at">
      {refused.length > 0 ? (
        <>
          <div className="warn">
            <Triangle />
            <p>
              <b>{`${countOf(counts.refused, 'row')} ${counts.refused === 1 ? 'is' : 'are'} left out.`}</b> Put them
              right in your table and choose it again, or say here what is to be done with them.
            </p>
          </div>
          <Problems problems={refused} />
        </>
      ) : null}
      {counts.duplicates > 0 ? (
        <Pair
          label={`${countOf(counts.duplicates, 'row')} with a code that is there already`}
          value={choices.duplicates}
          choices={{ 'leave-out': 'leave out', 'new-code': 'take with a new code' }}
          onValue={(duplicates) => onChoice({ duplicates })}
        />
      ) : null}
      {misread || choices.unread === 'to-notes' ? (
        <Pair
          label="Cells that are not understood"
          value={choices.unread}
          choices={{ 'leave-out': 'leave the row out', 'to-notes': 'keep as notes' }}
          onValue={(unread) => onChoice({ unread })}
        />
      ) : null}
      {said.length > 0 ? (
        <>
          <p>
            <b>{`${countOf(counts.warned, 'panel')} to look at once they hang.`}</b>
          </p>
          <Problems problems={said} />
        </>
      ) : null}
      {moreProblems > 0 ? <p className="fine">{`${countOf(moreProblems, 'more kind')} of trouble.`}</p> : null}
    </section>
  )
}

function Problems({ problems }: { problems: readonly NotebookProblem[] }) {
  return (
    <ul className="notebook-rows">
      {problems.map(({ heading, message, remedy, rows, count }, i) => (
        <li key={i}>
          <b className="num">{rowsInWords(rows, count)}</b>
          <span>
            {heading === null ? '' : <b>{heading}: </b>}
            {message} <span className="fine">{remedy}</span>
          </span>
        </li>
      ))}
    </ul>
  )
}

type PairProps<T extends string> = {
  label: string
  value: T
  choices: Record<T, string>
  onValue: (value: T) => void
}

function Pair<T extends string>({ label, value, choices, onValue }: PairProps<T>) {
  return (
    <div className="notebook-pair">
      <span>{label}</span>
      <span className="pair" role="group" aria-label={label}>
        {(Object.entries(choices) as [T, string][]).map(([key, words]) => (
          <button key={key} type="button" aria-pressed={key === value} onClick={() => onValue(key)}>
            {words}
          </button>
        ))}
      </span>
    </div>
  )
}
