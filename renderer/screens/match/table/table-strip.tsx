import './table.css'
import { nearAllOfThem } from '../../../commands/match/on-table.ts'
import { Cross } from '../../../parts/icons.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { allOnTable } from '../../../state/match-address.ts'
import { chooseOnTable, takeOffTable, useTable } from '../../../state/match-table.ts'
import { useStore } from '../../../state/store.ts'
import { type OnTable, useTableShown } from './use-table-shown.ts'

/** The references that lie on the table, each with its number key; one alone needs no strip. */
export function TableStrip({ now }: { now: string }) {
  const ids = useTable((s) => s.ids)
  const shown = useTableShown(ids)
  if (ids.length < 2) return null
  return (
    <nav className="match-table" aria-label="References on the table">
      {shown.map((one, i) => (
        <Lying key={one.id} one={one} place={i + 1} now={one.id === now} />
      ))}
      <button
        type="button"
        className="match-table-all"
        aria-current={now === allOnTable ? 'true' : undefined}
        onClick={() => void nearAllOfThem.run(useStore.getState())}
      >
        <kbd>0</kbd> Near all of them
      </button>
    </nav>
  )
}

function Lying({ one, place, now }: { one: OnTable; place: number; now: boolean }) {
  const name = one.gone ?? one.name
  return (
    <div className="match-lying">
      <button type="button" aria-current={now ? 'true' : undefined} onClick={() => chooseOnTable(one.id)}>
        <kbd>{place}</kbd>
        <span title={name}>{name}</span>
      </button>
      <button
        type="button"
        className="match-take-off"
        aria-label={`Take ${name} off the table`}
        title="Take off the table; it stays in the rack"
        onClick={() => takeOffTable(one.id)}
      >
        <Cross />
      </button>
      <span className="match-lying-paint">
        <Paint lab={one.lab} label="" flat />
      </span>
    </div>
  )
}
