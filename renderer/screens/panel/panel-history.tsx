import { useState } from 'react'
import { sayDay } from '../../parts/say-numbers.ts'
import { sayTime } from '../../parts/say-time.ts'
import { useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

const shownFirst = 4

/** What was changed on this panel, newest first. */
export function PanelHistory({ panelId }: { panelId: string }) {
  const settings = useStore((s) => s.settings)
  const [all, setAll] = useState(false)
  const { value } = useAnswer('history.list', { panelId, limit: 500 })
  const entries = value?.entries ?? []
  if (entries.length === 0) return null
  return (
    <div className="block">
      <h3>History</h3>
      <ul className="panel-history">
        {(all ? entries : entries.slice(0, shownFirst)).map((entry) => (
          <li key={entry.id}>
            {`${sayDay(entry.at)}, ${sayTime(entry.at, settings)}: ${entry.label}`}
            <span className="fine">
              {[entry.who ? ` by ${entry.who}` : '', entry.undone ? ', taken back' : ''].join('')}
            </span>
          </li>
        ))}
      </ul>
      {entries.length > shownFirst && !all ? (
        <button type="button" className="btn plain" onClick={() => setAll(true)}>
          Show all {entries.length}
        </button>
      ) : null}
    </div>
  )
}
