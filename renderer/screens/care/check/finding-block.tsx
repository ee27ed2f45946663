import { useId, useState } from 'react'
import type { CheckAction, Finding, FindingItem } from '../../../../shared-core/records/check.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { Triangle } from '../../../parts/icons.tsx'
import { PanelLink, PlaceLink } from '../../../parts/place-link.tsx'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { askReport } from './check-state.ts'
import { Relink } from './relink.tsx'

/** As many of its items are shown before somebody asks for all. */
const fewItems = 5
const ofFiles: readonly CheckAction[] = ['take-in', 'set-aside', 'leave']

type Props = {
  finding: Finding
  /** The first of those whose files are looked for: all of them are looked for at once. */
  isFirstLost: boolean
  onRepair: () => void
}

/** One thing that was found: what it means, what is safe, and what to do. */
export function FindingBlock({ finding, isFirstLost, onRepair }: Props) {
  const id = useId()
  const { weight, title, means, safe, todo, items, actions } = finding
  const chooses = actions.some((action) => ofFiles.includes(action))
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set())
  const chosen = items.flatMap(({ path }) => (path !== null && !left.has(path) ? [path] : []))
  const toggle = (path: string) => {
    const next = new Set(left)
    if (!next.delete(path)) next.add(path)
    setLeft(next)
  }
  return (
    <article className={`block check-finding is-${weight}`} aria-labelledby={id}>
      <h2 id={id}>
        {weight === 'lost' || weight === 'harm' ? <Triangle /> : null}
        <span>{title}</span>
      </h2>
      <dl className="check-said">
        <dt>What it means</dt>
        <dd>{means}</dd>
        <dt>What is safe</dt>
        <dd>{safe}</dd>
        <dt>What to do</dt>
        <dd>{todo}</dd>
      </dl>
      <Items items={items} count={finding.count} left={chooses ? left : null} onToggle={toggle} />
      <div className="check-acts">
        {actions
          .filter((action) => action !== 'relink')
          .map((action) => (
            <ActionButton key={action} action={action} paths={chosen} onRepair={onRepair} />
          ))}
      </div>
      {!actions.includes('relink') ? null : isFirstLost ? (
        <Relink />
      ) : (
        <p className="fine">Looked for together with those above.</p>
      )}
    </article>
  )
}

type ItemsProps = {
  items: readonly FindingItem[]
  count: number
  /** Paths that are not chosen; null where nothing is chosen. */
  left: ReadonlySet<string> | null
  onToggle: (path: string) => void
}

function Items({ items, count, left, onToggle }: ItemsProps) {
  const [all, setAll] = useState(false)
  if (items.length === 0) return null
  const shown = all ? items : items.slice(0, fewItems)
  return (
    <>
      <ul className="check-items">
        {shown.map((one, i) => (
          <li key={`${i} ${one.name}`}>
            {left && one.path !== null ? (
              <label className="check">
                <input type="checkbox" checked={!left.has(one.path)} onChange={() => onToggle(one.path ?? '')} />
                <b>{one.name}</b>
              </label>
            ) : one.name === one.panelCode ? null : (
              <b>{one.name}</b>
            )}
            <span className="fine">{one.detail}</span>
            <ItemLink item={one} />
          </li>
        ))}
      </ul>
      {items.length > fewItems ? (
        <button type="button" className="btn plain check-more" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? 'Show the first few' : `Show all ${items.length}`}
        </button>
      ) : null}
      {all && count > items.length ? (
        <p className="fine">{`${count - items.length} more are not listed one by one.`}</p>
      ) : null}
    </>
  )
}

function ItemLink({ item }: { item: FindingItem }) {
  if (item.panelCode !== null) return <PanelLink code={item.panelCode} />
  if (item.photoId === null) return null
  const route = { at: 'tray', photoId: item.photoId } as const
  return (
    <PlaceLink to={route} className="btn plain">
      Show it
    </PlaceLink>
  )
}

const labels: Readonly<Record<Exclude<CheckAction, 'relink'>, string>> = {
  'take-in': 'Take into the tray',
  'set-aside': 'Move to “unknown”',
  leave: 'Leave where they are',
  'mend-indexes': 'Make the indexes anew',
  'mend-loose': 'Put them right',
  'mend-order': 'Number them anew',
  'mend-from-history': 'Put back as the history has them',
  'mend-keep-present': 'Keep them as they are',
  restore: 'Repair this rack',
  'rebuild-pictures': 'Make small pictures anew',
  'clear-pictures': 'Clear them away',
  'clear-half-done': 'Clear them away',
}

type ActionProps = { action: Exclude<CheckAction, 'relink'>; paths: string[]; onRepair: () => void }

function ActionButton({ action, paths, onRepair }: ActionProps) {
  const [busy, setBusy] = useState(false)
  const missing = ofFiles.includes(action) && paths.length === 0 ? 'Choose at least one.' : null
  const press = async () => {
    if (missing) return useStore.getState().say(missing)
    if (action === 'restore') return onRepair()
    if (busy) return
    setBusy(true)
    await perform(action, paths)
    await askReport()
    setBusy(false)
  }
  return (
    <ChangeButton
      type="button"
      className={action === 'restore' ? 'btn main' : 'btn'}
      aria-disabled={missing !== null || busy}
      title={missing ?? labels[action]}
      onClick={() => void press()}
    >
      {labels[action]}
    </ChangeButton>
  )
}

async function perform(action: Exclude<CheckAction, 'relink' | 'restore'>, paths: string[]): Promise<unknown> {
  switch (action) {
    case 'take-in':
      return act('check.takeUnknown', { paths })
    case 'set-aside':
      return act('check.setAside', { paths })
    case 'leave':
      return act('check.leave', { paths })
    case 'mend-indexes':
      return act('check.mend', { what: 'indexes' })
    case 'mend-loose':
      return act('check.mend', { what: 'loose' })
    case 'mend-order':
      return act('check.mend', { what: 'order' })
    case 'mend-from-history':
      return act('check.mend', { what: 'from-history' })
    case 'mend-keep-present':
      return act('check.mend', { what: 'keep-present' })
    case 'rebuild-pictures':
      return act('check.rebuildRenditions', { which: 'missing' })
    case 'clear-pictures':
      return act('check.clearRenditions', {})
    case 'clear-half-done':
      return act('check.clearHalfDone', {})
  }
}
