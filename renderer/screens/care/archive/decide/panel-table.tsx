import { type KeyboardEvent, type RefObject, useEffect, useRef, useState } from 'react'
import type { ComparedPanel, PanelFate } from '../../../../../shared-core/records/archive.ts'
import { counted, fates, fateWords } from '../words.ts'
import { ChoiceField, Outcome } from './choice-field.tsx'
import { SideBySide } from './side-by-side.tsx'

const rowHeight = 76
/** Rows kept ready above and below what is seen. */
const beyond = 6

/** Every panel that is not the same in both. Of thousands only those in sight are drawn. */
export function PanelTable({ comparisonId, panels }: { comparisonId: string; panels: readonly ComparedPanel[] }) {
  const [opened, setOpened] = useState<string | null>(null)
  const [only, setOnly] = useState<PanelFate | 'all'>('all')
  const shown = only === 'all' ? panels : panels.filter(({ fate }) => fate === only)
  const scroller = useRef<HTMLDivElement>(null)
  const { from, to } = useSight(scroller, shown.length)
  const kinds = fates.filter((fate) => panels.some((panel) => panel.fate === fate))
  return (
    <div className="archive-table-wrap">
      {kinds.length > 1 && panels.length > 12 ? (
        <div className="field archive-only">
          <span>
            <label htmlFor="archive-only">Show</label>
          </span>
          <select
            id="archive-only"
            className="select"
            value={only}
            onChange={(event) => setOnly(event.target.value as PanelFate | 'all')}
          >
            <option value="all">{`all ${counted(panels.length, 'panel')}`}</option>
            {kinds.map((fate) => (
              <option key={fate} value={fate}>
                {`${panels.filter((panel) => panel.fate === fate).length} ${fateWords[fate]}`}
              </option>
            ))}
          </select>
        </div>
      ) : null}
      <div className="archive-row archive-row-head" aria-hidden="true">
        <span>Panel there</span>
        <span>Against this rack</span>
        <span>What differs, or comes with it</span>
        <span>What becomes of it</span>
      </div>
      <div
        ref={scroller}
        className="archive-table scroll"
        role="table"
        aria-label="Panels of the other rack"
        aria-rowcount={shown.length}
        style={{ height: shown.length * rowHeight + 3 }}
      >
        <div role="rowgroup" style={{ height: shown.length * rowHeight, position: 'relative' }}>
          {shown.slice(from, to).map((panel, i) => (
            <Row key={panel.id} panel={panel} at={from + i} onOpen={() => setOpened(panel.id)} />
          ))}
        </div>
      </div>
      {opened === null ? null : (
        <SideBySide
          comparisonId={comparisonId}
          panels={shown}
          panelId={opened}
          onShow={setOpened}
          onClose={() => setOpened(null)}
        />
      )}
    </div>
  )
}

function Row({ panel, at, onOpen }: { panel: ComparedPanel; at: number; onOpen: () => void }) {
  return (
    <div
      className="archive-row archive-row-one"
      role="row"
      aria-rowindex={at + 1}
      style={{ top: at * rowHeight, height: rowHeight }}
    >
      <button
        type="button"
        className="archive-open"
        aria-label={`${panel.ours ? 'Mine beside theirs' : 'Look at it'}: ${panel.code} ${panel.title}`}
        onClick={onOpen}
      />
      <span role="cell">
        <b>{panel.code}</b>
        <span className="archive-two">{panel.title}</span>
      </span>
      <span role="cell">
        <b>{fateWords[panel.fate]}</b>
        <span className="fine archive-two">{panel.ours ? oursInWords(panel) : ''}</span>
      </span>
      <span role="cell">
        <span className="archive-two">
          {panel.what.join(', ') || (panel.fate === 'new' ? 'no readings and no photos' : 'nothing')}
        </span>
        <span className="fine archive-lead">{panel.ours ? 'Mine beside theirs' : 'Look at it'}</span>
      </span>
      <span role="cell" className="archive-choice">
        <ChoiceField panel={panel} at={at} onKeyDown={walk} />
        <Outcome panel={panel} />
      </span>
    </div>
  )
}

const oursInWords = ({ code, title, ours }: ComparedPanel): string => {
  if (!ours) return ''
  if (ours.code === code && ours.title === title) return 'by its code and title here too'
  return `here: ${ours.code} ${ours.title}`
}

/** Page up and down go from panel to panel a screenful at a time; up and down are the choice's own. */
function walk(event: KeyboardEvent<HTMLSelectElement>): void {
  const by = { PageDown: 7, PageUp: -7 }[event.key]
  const scroller = event.currentTarget.closest<HTMLElement>('.archive-table')
  if (by === undefined || !scroller) return
  event.preventDefault()
  const row = Number(event.currentTarget.dataset.row)
  const next = Math.max(0, row + by)
  scroller.scrollTop = next * rowHeight
  requestAnimationFrame(() => {
    const rows = [...scroller.querySelectorAll<HTMLElement>('[data-row]')]
    const found = rows.find((one) => Number(one.dataset.row) === next) ?? rows.at(-1)
    found?.focus()
  })
}

function useSight(scroller: RefObject<HTMLDivElement | null>, count: number): { from: number; to: number } {
  const [sight, setSight] = useState({ from: 0, to: 20 })
  useEffect(() => {
    const element = scroller.current
    if (!element) return
    const look = () => {
      const from = Math.max(0, Math.floor(element.scrollTop / rowHeight) - beyond)
      const to = Math.min(
        count,
        Math.ceil((element.scrollTop + Math.max(element.clientHeight, 10 * rowHeight)) / rowHeight) + beyond,
      )
      setSight((before) => (before.from === from && before.to === to ? before : { from, to }))
    }
    look()
    element.addEventListener('scroll', look, { passive: true })
    return () => element.removeEventListener('scroll', look)
  }, [count, scroller])
  return sight
}
