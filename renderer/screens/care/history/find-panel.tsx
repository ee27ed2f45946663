import { useEffect, useRef, useState } from 'react'
import type { PanelNamed } from '../../../../shared-core/records/history.ts'
import { PlaceLink } from '../../../parts/panel-link.tsx'
import { useAnswer } from '../../../state/asking.ts'

const places: Record<PanelNamed['where'], string> = { rack: '', trash: 'in the trash', gone: 'its making was undone' }

/** Leads to one panel's history: any panel by code or title; without words, those that were removed. */
export function FindPanel() {
  const [words, setWords] = useState('')
  const [open, setOpen] = useState(false)
  const { value } = useAnswer('history.findPanels', open ? { words: words.trim() } : null, 150)
  const panels = value?.panels ?? []
  const place = useRef<HTMLDivElement>(null)
  useEffect(() => {
    if (!open) return
    const leave = (event: Event) => {
      if (!(event.target instanceof Node) || !place.current?.contains(event.target)) setOpen(false)
    }
    const escape = (event: KeyboardEvent) => {
      if (event.key !== 'Escape') return
      event.preventDefault()
      setOpen(false)
    }
    document.addEventListener('focusin', leave)
    document.addEventListener('pointerdown', leave)
    document.addEventListener('keydown', escape, true)
    return () => {
      document.removeEventListener('focusin', leave)
      document.removeEventListener('pointerdown', leave)
      document.removeEventListener('keydown', escape, true)
    }
  }, [open])
  return (
    <div className="history-find" ref={place}>
      <label className="field">
        <span>History of one panel, also of a removed one</span>
        <input
          className="input"
          value={words}
          placeholder="code or title"
          onFocus={() => setOpen(true)}
          onChange={(event) => {
            setWords(event.target.value)
            setOpen(true)
          }}
        />
      </label>
      {open && value ? (
        <ul className="history-found scroll">
          {words.trim() === '' && panels.length > 0 ? (
            <li className="fine history-found-head">Not in the rack any more</li>
          ) : null}
          {panels.map((panel) => (
            <li key={panel.id}>
              <PlaceLink className="history-one" to={{ at: 'care', page: 'history', panelId: panel.id }}>
                <b className="num">{panel.code}</b> {panel.title}
                <span className="fine push">{places[panel.where]}</span>
              </PlaceLink>
            </li>
          ))}
          {panels.length === 0 ? (
            <li className="fine history-none">
              {words.trim() === '' ? 'No panel was removed. Type a code or a title.' : 'No panel has these words.'}
            </li>
          ) : null}
        </ul>
      ) : null}
    </div>
  )
}
