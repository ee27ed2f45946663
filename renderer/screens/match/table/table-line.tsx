import { chooseOnTable, clearTable, useTable } from '../../../state/match-table.ts'
import { useStore } from '../../../state/store.ts'
import { useTableShown } from './use-table-shown.ts'

/** What lies on the table while another is chosen to be laid beside it. */
export function TableLine() {
  const folder = useStore((s) => s.rack?.folder)
  const ids = useTable((s) => (s.folder === folder ? s.ids : none))
  const shown = useTableShown(ids)
  if (ids.length === 0) return null
  return (
    <div className="match-table-line">
      <p>On the table; what you choose is laid beside it:</p>
      <p className="match-acts">
        {shown.map((one) => (
          <button key={one.id} type="button" className="btn" onClick={() => chooseOnTable(one.id)}>
            {one.gone ?? one.name}
          </button>
        ))}
        <button type="button" className="btn plain" onClick={clearTable}>
          Clear the table
        </button>
      </p>
    </div>
  )
}

const none: readonly string[] = []
