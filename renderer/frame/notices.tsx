import './notices.css'
import { useEffect, useRef } from 'react'
import { createPortal } from 'react-dom'
import { useShallow } from 'zustand/react/shallow'
import { Cross, Triangle } from '../parts/icons.tsx'
import { useOpenDialogs } from '../parts/open-dialogs.ts'
import type { Notice } from '../state/store.ts'
import { useStore } from '../state/store.ts'
import { useEscape } from './escape.ts'
import { useFocusBack } from './focus-back.ts'

/**
 * What happened, and what to do. Plain news lies over the lower right corner and leaves by itself. A caution has a strip of
 * its own below the place, or in the sheet that lies over it, so that it covers nothing; it goes with the place, when the same
 * thing succeeds, by Escape, or by its button.
 */
export function Notices() {
  const [notices, putAway] = useStore(useShallow((s) => [s.notices, s.putAway]))
  const dialog = useOpenDialogs((s) => s.dialogs.at(-1))
  const cautions = notices.filter(({ tone }) => tone === 'caution')
  const last = cautions.at(-1)
  useEscape(() => {
    if (last) putAway(last.id)
    return last !== undefined
  })
  const shown = (tone: Notice['tone'], className: string) => (
    <div className={className} role="status" aria-live="polite">
      {notices
        .filter((notice) => notice.tone === tone)
        .map((notice) => (
          <OneNotice key={notice.id} notice={notice} putAway={() => putAway(notice.id)} />
        ))}
    </div>
  )
  const all = (
    <>
      {shown('said', 'notices')}
      {shown('caution', 'cautions')}
    </>
  )
  return dialog ? createPortal(all, dialog) : all
}

function OneNotice({ notice, putAway }: { notice: Notice; putAway: () => void }) {
  const box = useRef<HTMLDivElement>(null)
  useFocusBack(box, notice.id)
  useEffect(() => {
    if (notice.tone !== 'said') return
    const wait = setTimeout(() => useStore.getState().putAway(notice.id), 6000)
    return () => clearTimeout(wait)
  }, [notice.id, notice.tone])
  return (
    <div className="notice" ref={box}>
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
