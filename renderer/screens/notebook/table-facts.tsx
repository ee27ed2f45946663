import type { NotebookAnswers } from '../../../shared-core/records/notebook.ts'
import { Separating } from '../../../shared-core/records/notebook.ts'
import { countOf, separatorInWords } from './notebook-words.ts'
import type { Chosen, Seen } from './use-looking.ts'

type Props = {
  chosen: Chosen
  seen: Seen
  onSaid: (answers: Partial<NotebookAnswers>) => void
  onOther: () => void
}

/** Which file it is, and how it was taken apart; both can be said otherwise. */
export function TableFacts({ chosen, seen, onSaid, onOther }: Props) {
  return (
    <div className="notebook-facts">
      <p>
        <b>{chosen.name}</b>
        <span className="fine">{` ${countOf(seen.counts.rows, 'row')}, ${seen.encoding}`}</span>
      </p>
      <label className="notebook-fact">
        <span className="fine">Columns kept apart by</span>
        <select
          className="select"
          value={seen.separator}
          onChange={(event) => onSaid({ separator: Separating.parse(event.target.value) })}
        >
          {Object.entries(separatorInWords).map(([key, words]) => (
            <option key={key} value={key}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <label className="notebook-fact">
        <span className="fine">The first row is</span>
        <select
          className="select"
          value={seen.headings ? 'headings' : 'panel'}
          onChange={(event) => onSaid({ headings: event.target.value === 'headings' })}
        >
          <option value="headings">headings</option>
          <option value="panel">a panel</option>
        </select>
      </label>
      <button type="button" className="btn plain push" onClick={onOther}>
        Another file
      </button>
    </div>
  )
}
