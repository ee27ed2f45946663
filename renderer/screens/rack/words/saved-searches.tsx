import { ChangeButton, ChangeFields } from '../../../parts/change-only.tsx'
import './saved.css'
import { type FormEvent, type KeyboardEvent, useEffect, useRef, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { PanelSort } from '../../../../shared-core/records/panel.ts'
import type { PanelGroup, SavedSearch } from '../../../../shared-core/records/wall.ts'
import { client } from '../../../client/client.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { closeRackDialog } from '../../../state/rack-dialog.ts'
import { useStore } from '../../../state/store.ts'
import { wordsOf } from './filter-words.ts'

/** What is asked of the rack again and again: chosen, kept, renamed, removed; arrows walk through the list. */
export function SavedSearches() {
  const { value } = useAnswer('searches.list', {})
  const list = useRef<HTMLUListElement>(null)
  const searches = value?.searches ?? []
  const placed = useRef(false)
  // the list may come after the sheet; whoever has not typed a name yet came to choose
  useEffect(() => {
    if (placed.current || searches.length === 0) return
    placed.current = true
    const { activeElement: active } = document
    if (active instanceof HTMLInputElement && active.value === '')
      list.current?.querySelector<HTMLElement>('.saved-name')?.focus()
  }, [searches.length])
  const walk = (event: KeyboardEvent) => {
    const way = { ArrowDown: 1, ArrowUp: -1 }[event.key]
    if (!way) return
    const names = [...list.current!.querySelectorAll<HTMLElement>('.saved-name')]
    const row = (event.target as Element).closest('li')
    const at = names.findIndex((name) => row?.contains(name))
    names[Math.min(names.length - 1, Math.max(0, at + way))]?.focus()
    event.preventDefault()
  }
  return (
    <Dialog title="Saved searches" onClose={closeRackDialog}>
      {searches.length > 0 ? (
        <ul className="saved scroll" ref={list}>
          {searches.map((search) => (
            <Saved key={search.id} search={search} onKey={walk} />
          ))}
        </ul>
      ) : value ? (
        <p>None yet. Narrow the wall by words, then save it here under a name.</p>
      ) : null}
      <SaveThis />
    </Dialog>
  )
}

function Saved({ search, onKey }: { search: SavedSearch; onKey: (event: KeyboardEvent) => void }) {
  const setView = useStore((s) => s.setView)
  const [renaming, setRenaming] = useState<'not yet' | 'now' | 'no more'>('not yet')
  const renameButton = useRef<HTMLButtonElement>(null)
  // the focus comes back to where it went from
  useEffect(() => {
    if (renaming === 'no more') renameButton.current?.focus()
  }, [renaming])
  if (renaming === 'now') return <Rename search={search} onDone={() => setRenaming('no more')} />
  const choose = () => {
    const { filter, sort, group } = search
    setView({ filter, sort, group })
    closeRackDialog()
  }
  const remove = async () => {
    if (await act('searches.remove', { id: search.id }))
      useStore.getState().say(`The search “${search.name}” is removed.`, 'Undo brings it back.')
  }
  return (
    <li className="saved-row">
      <button type="button" className="saved-name" onClick={choose} onKeyDown={onKey}>
        <b>{search.name}</b>
        <span className="fine">{inWords(search)}</span>
      </button>
      <ChangeButton
        type="button"
        className="btn plain"
        aria-label={`Rename ${search.name}`}
        ref={renameButton}
        onClick={() => setRenaming('now')}
        onKeyDown={onKey}
      >
        Rename
      </ChangeButton>
      <ChangeButton
        type="button"
        className="btn plain"
        aria-label={`Remove ${search.name}`}
        onClick={() => void remove()}
        onKeyDown={onKey}
      >
        Remove
      </ChangeButton>
    </li>
  )
}

function Rename({ search, onDone }: { search: SavedSearch; onDone: () => void }) {
  const [name, setName] = useState(search.name)
  const field = useRef<HTMLInputElement>(null)
  useEffect(() => field.current?.select(), [])
  const [refused, setRefused] = useState('')
  const save = async (event: FormEvent) => {
    event.preventDefault()
    if (name.trim() === '' || name.trim() === search.name) return onDone()
    const answer = await client().call('searches.rename', { id: search.id, name: name.trim() })
    if (answer.ok) onDone()
    else setRefused(`${answer.error.message} ${answer.error.remedy}`)
  }
  return (
    <li>
      <form className="saved-form" onSubmit={(event) => void save(event)}>
        <label className="field">
          <span>New name of “{search.name}”</span>
          <input
            className="input"
            value={name}
            maxLength={80}
            ref={field}
            aria-invalid={refused !== ''}
            onChange={(event) => setName(event.target.value)}
            onKeyDown={(event) => {
              if (event.key !== 'Escape') return
              // the sheet stays
              event.preventDefault()
              event.stopPropagation()
              onDone()
            }}
          />
        </label>
        <button type="submit" className="btn main">
          Rename
        </button>
        <button type="button" className="btn" onClick={onDone}>
          Leave it
        </button>
        {refused ? (
          <p className="fine" role="alert">
            {refused}
          </p>
        ) : null}
      </form>
    </li>
  )
}

/** Keeps what is shown now; a name that is taken is only taken over by a second press. */
function SaveThis() {
  const [filter, sort, group] = useStore(useShallow((s) => [s.filter, s.sort, s.group]))
  const [name, setName] = useState('')
  const [taken, setTaken] = useState('')
  const [refused, setRefused] = useState('')
  const replace = taken !== '' && taken === name.trim()
  const save = async (event: FormEvent) => {
    event.preventDefault()
    const asked = name.trim()
    if (asked === '') return
    const answer = await client().call('searches.save', { name: asked, filter, sort, group, replace })
    if (answer.ok) {
      setName('')
      setRefused('')
      useStore.getState().say(`Saved as “${asked}”.`)
    } else {
      setTaken(answer.error.code === 'search/name-taken' ? asked : '')
      setRefused(answer.error.message)
    }
  }
  return (
    <form className="saved-form block" onSubmit={(event) => void save(event)}>
      <p className="fine">Shown now: {inWords({ filter, sort, group })}</p>
      <ChangeFields>
        <label className="field">
          <span>Save it as</span>
          <input
            className="input"
            value={name}
            maxLength={80}
            aria-invalid={refused !== ''}
            onChange={(event) => {
              setName(event.target.value)
              setRefused('')
            }}
          />
        </label>
        <button type="submit" className="btn main" aria-disabled={name.trim() === ''}>
          {replace ? 'Replace it' : 'Save'}
        </button>
      </ChangeFields>
      {refused ? (
        <p className="fine" role="alert">
          {refused}
        </p>
      ) : null}
    </form>
  )
}

const groups: Record<PanelGroup, string> = {
  none: 'not grouped',
  ground: 'grouped by ground',
  candy: 'grouped by candy',
  hue: 'grouped by hue',
  lightness: 'grouped by lightness',
  date: 'grouped by date',
}

/** "over gold, cleared; grouped by hue, sorted by lightness" */
export function inWords({ filter, sort, group }: Pick<SavedSearch, 'filter' | 'group'> & { sort: PanelSort }): string {
  const words = wordsOf(filter).map(({ text }) => text)
  return `${words.length > 0 ? words.join(', ') : 'all panels'}; ${groups[group]}, sorted by ${sort}`
}
