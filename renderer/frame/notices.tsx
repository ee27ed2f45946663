import './notices.css'
import { useEffect, useEffectEvent } from 'react'
import { createPortal } from 'react-dom'
import { useShallow } from 'zustand/react/shallow'
import { Cross, Triangle } from '../parts/icons.tsx'
import { useOpenDialogs } from '../parts/open-dialogs.ts'
import type { Notice } from '../state/store.ts'
import { useStore } from '../state/store.ts'

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
  const onEscape = useEffectEvent((event: KeyboardEvent) => {
    if (event.key !== 'Escape' || event.defaultPrevented || !last) return
    if (document.querySelector('dialog[open], [role=dialog], [role=menu], [popover]:popover-open')) return
    event.preventDefault()
    putAway(last.id)
  })
  useEffect(() => {
    // a component's own key handlers come first; shortcuts of the place come after, and let a prevented key be
    const listen = (event: KeyboardEvent) => onEscape(event)
    document.addEventListener('keydown', listen)
    return () => document.removeEventListener('keydown', listen)
  }, [])
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
