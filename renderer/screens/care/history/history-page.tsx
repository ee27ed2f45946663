import './history.css'
import { useEffect, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { Caution } from '../../../parts/caution.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { historyRoute, usePast } from '../../../state/past.ts'
import { useStore } from '../../../state/store.ts'
import { ChangedView } from './changed-view.tsx'
import { HistoryHead } from './history-head.tsx'
import { HistoryList } from './list/history-list.tsx'
import { StoodView } from './stood-view.tsx'

/** What was changed, by whom and when: of the whole rack, or of one panel, which can also be seen as it stood. */
export function HistoryPage() {
  const route = useStore(useShallow((s) => historyRoute(s)))
  const panelId = route?.panelId ?? null
  const [who, setWho] = useState<string | null>(null)
  const named = useAnswer('history.namePanel', panelId === null ? null : { key: panelId })
  const view = usePast((s) => s.view)
  useEffect(() => usePast.getState().set({ view: 'changed', before: false, keepLater: true }), [panelId])
  return (
    <section className="care-history" aria-label="History">
      <HistoryHead panel={named.value?.panel ?? null} who={who} onWho={setWho} />
      {named.error ? (
        <Caution message={named.error.message} remedy={named.error.remedy} />
      ) : (
        <div className="history-columns">
          <HistoryList key={`${panelId} ${who}`} panelId={panelId} who={who} />
          <div className="history-shown scroll" aria-live="polite">
            {view === 'stood' && panelId !== null ? <StoodView /> : <ChangedView />}
          </div>
        </div>
      )}
    </section>
  )
}
