import type { NotebookColumn } from '../../../shared-core/contract/panels-csv-calls.ts'
import { ColumnUse } from '../../../shared-core/records/notebook.ts'
import { usesInGroups } from './notebook-words.ts'

type Props = {
  columns: readonly NotebookColumn[]
  asLastTime: boolean
  onUse: (column: number, use: ColumnUse) => void
}

/** Each column of the table: its heading, what stands in it, and what it is. */
export function ColumnList({ columns, asLastTime, onUse }: Props) {
  const used = columns.filter(({ use }) => use !== 'nothing').length
  return (
    <section className="notebook-columns" aria-label="What the columns are">
      <h3 className="railname">What the columns are</h3>
      <p className="fine">
        {asLastTime ? 'As you chose for the last table with these headings. ' : ''}
        {used === columns.length ? 'Every column is used.' : `${used} of ${columns.length} columns are used.`}
      </p>
      <ul className="scroll">
        {columns.map(({ heading, samples, use }, i) => (
          <li key={i} className={use === 'nothing' ? 'is-out' : ''}>
            <span className="notebook-heading">
              <b>{heading}</b>
              <span className="fine">{samples.length === 0 ? 'empty' : samples.join(' · ')}</span>
            </span>
            <select
              className="select"
              value={use}
              aria-label={`What “${heading}” is`}
              onChange={(event) => onUse(i, ColumnUse.parse(event.target.value))}
            >
              <option value="nothing">left out</option>
              {usesInGroups.map(({ group, uses }) => (
                <optgroup key={group} label={group}>
                  {uses.map(([key, words]) => (
                    <option key={key} value={key}>
                      {words}
                    </option>
                  ))}
                </optgroup>
              ))}
            </select>
          </li>
        ))}
      </ul>
    </section>
  )
}
