import './file-ready.css'
import { type KeyboardEvent, useEffect, useState } from 'react'
import { Dialog } from '../../../parts/dialog.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { useDesk } from '../desk-state.ts'
import { isUntouched } from '../proposing/laying.ts'
import { ReadyRow, readyRowHigh } from './ready-row.tsx'
import type { Overview } from './row-state.ts'
import { useFixedRows } from './use-fixed-rows.ts'

const close = () => useDesk.setState({ filingReady: false })

/** The sheet in which all that are sure are looked over and filed in one go. */
export function FileReady() {
  const isOpen = useDesk((s) => s.filingReady)
  const overview = useAnswer('proposals.overview', isOpen ? {} : null).value
  if (!isOpen || !overview) return null
  return (
    <Dialog title="File the photos that are sure" onClose={close}>
      <Sure overview={overview} />
    </Dialog>
  )
}

/** As many as one job takes. */
const most = 2000

function Sure({ overview }: { overview: Overview }) {
  const ready = overview.ready.slice(0, most)
  const begun = useDesk((s) => (s.photo && !isUntouched(s) ? s.photo.id : null))
  const [left, setLeft] = useState<ReadonlySet<string>>(() => new Set(begun === null ? [] : [begun]))
  const [at, setAt] = useState(0)
  const [busy, setBusy] = useState(false)
  const { scroller, from, to, bringIn } = useFixedRows<HTMLDivElement>(ready.length, readyRowHigh)
  useEffect(() => scroller.current?.focus(), [scroller])
  const going = ready.filter(({ photoId }) => !left.has(photoId)).map(({ photoId }) => photoId)
  const missing = going.length === 0 ? 'None is chosen' : null

  const toggle = (row: number) => {
    const id = ready[row]?.photoId
    if (id === undefined) return
    setAt(row)
    setLeft((before) => {
      const next = new Set(before)
      if (!next.delete(id)) next.add(id)
      return next
    })
  }
  const walk = (row: number) => {
    const next = Math.min(Math.max(row, 0), ready.length - 1)
    setAt(next)
    bringIn(next)
  }
  const file = async () => {
    if (busy || missing !== null) return
    setBusy(true)
    const done = await act('proposals.fileReady', { photoIds: going })
    setBusy(false)
    if (!done) return
    useDesk.setState({ goneWith: going })
    close()
  }
  const keys = (event: KeyboardEvent) => {
    const moves: Record<string, number> = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: ready.length - 1 }
    const move = moves[event.key]
    if (move !== undefined) walk(move)
    else if (event.key === ' ') toggle(at)
    else if (event.key === 'Enter' && !event.repeat) void file()
    else return
    event.preventDefault()
  }

  return (
    <div className="tray-ready">
      <p>Each is read where it is marked, and filed to its panel. One step of Undo takes all of it back.</p>
      <div
        ref={scroller}
        className="scroll"
        role="listbox"
        aria-label="Photos that are sure"
        aria-multiselectable="true"
        aria-activedescendant={ready[at] ? `ready-${ready[at].photoId}` : undefined}
        tabIndex={0}
        onKeyDown={keys}
      >
        {ready.slice(from, to).map((one, i) => (
          <ReadyRow
            key={one.photoId}
            {...one}
            row={from + i}
            count={ready.length}
            here={from + i === at}
            isLeft={left.has(one.photoId)}
            isBegun={one.photoId === begun}
            onPress={() => toggle(from + i)}
          />
        ))}
        <div className="tray-pile-end" style={{ top: ready.length * readyRowHigh - 1 }} aria-hidden="true" />
      </div>
      <Staying overview={overview} />
      <div className="tray-ready-acts">
        <button type="button" className="btn main" aria-disabled={busy || missing !== null} onClick={() => void file()}>
          {missing ?? (going.length === 1 ? 'File 1 photo' : `File ${going.length} photos`)}
        </button>
        <button type="button" className="btn" onClick={close}>
          Not now
        </button>
        <p className="keys push">
          <span>
            <kbd>Enter</kbd> file
          </span>
          <span>
            <kbd>Space</kbd> leave one out
          </span>
          <span>
            <kbd>Arrows</kbd> walk
          </span>
        </p>
      </div>
    </div>
  )
}

/** Of more, the count says enough. */
const mostNamed = 100

/** What stays in the tray, and why. */
function Staying({ overview: { doubtful, waiting } }: { overview: Overview }) {
  const named = doubtful.slice(0, mostNamed)
  const { value } = useAnswer(
    'photos.getMany',
    named.length === 0 ? null : { photoIds: named.map((one) => one.photoId) },
  )
  if (doubtful.length + waiting === 0) return null
  const staying = doubtful.length
  return (
    <details className="tray-staying">
      <summary>
        {[
          staying === 1 ? '1 is doubtful and stays in the Tray' : null,
          staying > 1 ? `${staying} are doubtful and stay in the Tray` : null,
          waiting > 0 ? `${waiting} still to be looked at` : null,
        ]
          .filter((part) => part !== null)
          .join('; ')}
      </summary>
      <ul>
        {named.map(({ photoId, panelCode, why }) => (
          <li key={photoId}>
            <PlaceLink to={{ at: 'tray', photoId }} how="replace" onGo={close}>
              {panelCode ?? value?.photos.find(({ id }) => id === photoId)?.name ?? 'photo'}
            </PlaceLink>
            <span>{why}</span>
          </li>
        ))}
      </ul>
    </details>
  )
}
