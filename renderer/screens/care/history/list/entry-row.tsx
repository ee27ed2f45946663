import { useEffect, useRef } from 'react'
import type { HistoryEntry } from '../../../../../shared-core/records/history.ts'
import { saidDone } from '../../../../parts/said-done.ts'
import { sayMoments } from '../../../../parts/say-moments.ts'
import { sayTime } from '../../../../parts/say-time.ts'
import { chooseEntry, chosenEntry, usePast } from '../../../../state/past.ts'
import { useStore } from '../../../../state/store.ts'
import { undoneInWords } from './undone-words.ts'

/** One entry: when, what, by whom; what was taken back is struck through and says so. */
export function EntryRow({ entry, ofPanel }: { entry: HistoryEntry; ofPanel: string | null }) {
  const settings = useStore((s) => s.settings)
  usePast((s) => s.entries)
  const isChosen = useStore((s) => chosenEntry(s)?.id === entry.id)
  const row = useRef<HTMLButtonElement>(null)
  useEffect(() => {
    if (isChosen) row.current?.scrollIntoView({ block: 'nearest' })
  }, [isChosen])
  const other = ofPanel === null && entry.panel && entry.panel.where !== 'rack' ? entry.panel : null
  return (
    <li>
      <button
        ref={row}
        type="button"
        className={entry.undone ? 'history-entry is-undone' : 'history-entry'}
        aria-current={isChosen}
        onClick={() => chooseEntry(entry.id)}
      >
        <span className="history-time num">{sayTime(entry.at, settings)}</span>
        <span className="history-label">
          <span>{sayMoments(saidDone(entry.label), settings)}</span>
          <span className="fine">
            {[
              entry.brief,
              entry.kind === 'event' ? 'the whole rack' : '',
              entry.who === '' ? '' : `by ${entry.who}`,
              entry.undone ? undoneInWords(entry, settings) : '',
              other ? (other.where === 'trash' ? 'now in the trash' : 'now gone') : '',
            ]
              .filter(Boolean)
              .join(' · ')}
          </span>
        </span>
      </button>
    </li>
  )
}
