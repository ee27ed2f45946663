import { useEffect } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { Cross, Triangle } from '../parts/icons.tsx'
import type { Notice } from '../state/store.ts'
import { useStore } from '../state/store.ts'

/** What happened, and what to do. Plain news leaves by itself; a caution stays until it is put away. */
export function Notices() {
  const [notices, putAway] = useStore(useShallow((s) => [s.notices, s.putAway]))
  return (
    <div className="notices" role="status" aria-live="polite">
      {notices.map((notice) => (
        <OneNotice key={notice.id} notice={notice} putAway={() => putAway(notice.id)} />
      ))}
    </div>
  )
}

function OneNotice({ notice, putAway }: { notice: Notice; putAway: () => void }) {
  useEffect(() => {
    if (notice.tone !== 'said') return
    const wait = setTimeout(() => useStore.getState().putAway(notice.id), 6000)
    return () => clearTimeout(wait)
  }, [notice.id, notice.tone])
  return (
    <div className="notice">
      {notice.tone === 'caution' ? <Triangle /> : <span />}
      <p>
        <b>{notice.message}</b> {notice.remedy}
      </p>
      <button type="button" className="btn plain" aria-label="Put away" onClick={putAway}>
        <Cross />
      </button>
    </div>
  )
}
