import { useCallback, useEffect, useRef, useState } from 'react'
import type { HistoryEntry } from '../../../../../shared-core/records/history.ts'
import { useAnswer } from '../../../../state/asking.ts'
import { usePast } from '../../../../state/past.ts'
import { dayOf, sayDayOf } from './days.ts'
import { EntryRow } from './entry-row.tsx'

const pageLength = 60

type Asked = { panelId: string | null; who: string | null }

/** Newest first, by day; further pages come as the list is scrolled. */
export function HistoryList(asked: Asked) {
  /** Where each page begins; the first at the newest. */
  const [pages, setPages] = useState<Page[]>([{ before: null, entries: null, next: null }])
  const told = useCallback((at: number, page: Page) => setPages((old) => withPage(old, at, page)), [])
  const entries = pages.flatMap((page) => page.entries ?? [])
  useEffect(() => usePast.getState().set({ entries: pages.flatMap((page) => page.entries ?? []) }), [pages])
  const last = pages.at(-1)
  const more = useRef<HTMLLIElement>(null)
  const next = last?.next ?? null
  useEffect(() => {
    const sentinel = more.current
    if (next === null || sentinel === null) return
    const watch = new IntersectionObserver(
      (seen) => {
        if (seen.some(({ isIntersecting }) => isIntersecting))
          setPages((old) => (old.at(-1)?.next === next ? [...old, { before: next, entries: null, next: null }] : old))
      },
      { rootMargin: '600px' },
    )
    watch.observe(sentinel)
    return () => watch.disconnect()
  }, [next])
  const asOne = pages[0]?.entries
  return (
    <ol className="history-list scroll" aria-label="Changes, newest first" aria-busy={asOne === null}>
      {pages.map((page, at) => (
        <Asking key={at} at={at} before={page.before} asked={asked} onTold={told} />
      ))}
      {entries.map((entry, i) => (
        <DayAndEntry key={entry.id} entry={entry} previous={entries[i - 1] ?? null} asked={asked} />
      ))}
      {asOne && entries.length === 0 ? <Nothing asked={asked} /> : null}
      {next === null ? null : (
        <li ref={more} className="fine history-more">
          Earlier ones …
        </li>
      )}
    </ol>
  )
}

type Page = { before: string | null; entries: readonly HistoryEntry[] | null; next: string | null }

/** A change above moves what follows: each page then begins where the one before it ends. */
function withPage(old: readonly Page[], at: number, page: Page): Page[] {
  const pages = old.map((each, i) => (i === at ? page : each))
  const following = pages[at + 1]
  if (!following) return pages
  if (page.next === null) return pages.slice(0, at + 1)
  if (following.before !== page.next) pages[at + 1] = { ...following, before: page.next }
  return pages
}

type Asks = {
  at: number
  before: string | null
  asked: Asked
  onTold: (at: number, page: Page) => void
}

function Asking({ at, before, asked, onTold }: Asks) {
  const { value } = useAnswer('history.list', { ...asked, before, limit: pageLength })
  useEffect(() => {
    if (value) onTold(at, { before, entries: value.entries, next: value.next })
  }, [value, at, before, onTold])
  return null
}

function DayAndEntry({ entry, previous, asked }: { entry: HistoryEntry; previous: HistoryEntry | null; asked: Asked }) {
  const isNew = previous === null || dayOf(previous.at) !== dayOf(entry.at)
  return (
    <>
      {isNew ? <li className="history-day">{sayDayOf(entry.at)}</li> : null}
      <EntryRow entry={entry} ofPanel={asked.panelId} />
    </>
  )
}

function Nothing({ asked }: { asked: Asked }) {
  const words =
    asked.panelId !== null
      ? 'Nothing was changed on this panel since its history began.'
      : asked.who !== null
        ? 'Nothing was changed by this painter.'
        : 'Nothing was changed yet. Every change is written down here, and Undo takes it back.'
  return <li className="history-none">{words}</li>
}
