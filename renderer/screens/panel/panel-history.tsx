import { panelHistory } from '../../commands/panel/panel-history.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { saidDone } from '../../parts/said-done.ts'
import { sayDay } from '../../parts/say-numbers.ts'
import { sayTime } from '../../parts/say-time.ts'
import { useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

const shown = 4

/** What was changed on this panel last; the whole of it, and the panel as it stood, have a page of their own. */
export function PanelHistory({ panelId }: { panelId: string }) {
  const settings = useStore((s) => s.settings)
  const { value } = useAnswer('history.list', { panelId, limit: shown })
  const entries = value?.entries ?? []
  if (entries.length === 0) return null
  return (
    <div className="block">
      <h3>Changed last</h3>
      <ul className="panel-history">
        {entries.map((entry) => (
          <li key={entry.id}>
            <span>{saidDone(entry.label)}</span>
            <span className="fine">
              {[
                entry.brief,
                `${sayDay(entry.at)}, ${sayTime(entry.at, settings)}${entry.who ? ` by ${entry.who}` : ''}`,
                entry.undone ? 'taken back' : '',
              ]
                .filter(Boolean)
                .join(' · ')}
            </span>
          </li>
        ))}
      </ul>
      <CommandButton command={panelHistory} />
    </div>
  )
}
