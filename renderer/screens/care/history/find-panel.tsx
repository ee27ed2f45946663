import { useEffect, useRef, useState } from 'react'
import type { PanelNamed } from '../../../../shared-core/records/history.ts'
import { client } from '../../../client/client.ts'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { go } from '../../../state/router.ts'

const places: Record<PanelNamed['where'], string> = { rack: '', trash: 'in the trash', gone: 'its making was undone' }

/** Leads to one panel's history: any panel by code or title; without words, those that were removed. */
export function FindPanel() {
  const [words, setWords] = useState('')
  const [open, setOpen] = useState(false)
  const { value } = useAnswer('history.findPanels', open ? { words: words.trim() } : null, 150)
  const panels = value?.panels ?? []
  const place = useRef<HTMLDivElement>(null)
  /** Enter takes the first match of what is written, which may not be listed yet. */
  const takeFirst = async () => {
    const answer = await client().call('history.findPanels', { words: words.trim() })
    const first = answer.ok && words.trim() !== '' ? answer.value.panels[0] : undefined
    if (first) go({ at: 'care', page: 'history', panelId: first.id })
  }
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
          onKeyDown={(event) => {
            if (event.key !== 'Enter') return
            event.preventDefault()
            void takeFirst()
          }}
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
