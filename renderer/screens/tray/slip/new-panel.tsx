import { useState } from 'react'
import { act, useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { choosePanel } from '../desk-state.ts'
import { renewForPanel } from '../proposing/proposing.ts'

/** Coats typed one after another: "0 1 2 3 4", halves with point or comma before it ("2,5"). Null when it is none. */
export function readCoats(text: string): number[] | null {
  const parts = text.trim().split(/[\s;/]+/)
  const coats = parts.map((part) => Number(part.replace(/,$/, '').replace(',', '.')))
  if (text.trim() === '' || coats.length > 40) return null
  return coats.every((c) => Number.isFinite(c) && c >= 0 && c <= 60) ? coats : null
}

/** A panel with a title and its steps, enough to file a photo to; the rest is filled in later. */
export function NewPanel({ title: given, onDone }: { title: string; onDone: () => void }) {
  const [title, setTitle] = useState(given)
  const [coatsText, setCoatsText] = useState('')
  const { value } = useAnswer('panels.nextCode', {})
  const coats = readCoats(coatsText)
  const code = value?.code ?? 'panel'
  const missing = title.trim() === '' ? 'Give it a title' : coats === null ? 'Say how many coats each step has' : null
  const make = async () => {
    if (missing !== null || coats === null) return
    const made = await act('panels.save', {
      draft: {
        id: null,
        code: null,
        title: title.trim(),
        status: 'planned',
        sprayedOn: null,
        sprayedBy: useStore.getState().settings.painter,
        substrate: '',
        notes: '',
        tags: [],
        layers: [],
        steps: coats.map((n) => ({ id: null, coats: n, notes: '' })),
      },
    })
    if (!made) return
    onDone()
    choosePanel(made.panel)
    void renewForPanel()
  }
  return (
    <form
      className="tray-new"
      aria-label="New panel"
      onSubmit={(event) => {
        event.preventDefault()
        void make()
      }}
    >
      <label className="field">
        <span>Title of the new panel</span>
        <input className="input" value={title} maxLength={200} onChange={(event) => setTitle(event.target.value)} />
      </label>
      <label className="field">
        <span>Coats, one figure for each step from the top</span>
        <input
          className="input"
          inputMode="decimal"
          placeholder="0 1 2 3 4"
          value={coatsText}
          onChange={(event) => setCoatsText(event.target.value)}
        />
      </label>
      <button type="submit" className="btn main" aria-disabled={missing !== null}>
        {missing ?? `Make ${code}`}
      </button>
      <button type="button" className="btn" onClick={onDone}>
        Find a panel
      </button>
    </form>
  )
}
