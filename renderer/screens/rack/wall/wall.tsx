import './wall.css'
import { type MouseEvent, type RefObject, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react'
import type { Suspect } from '../../../../shared-core/records/film.ts'
import type { RackOrder } from '../../../state/rack-order.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { summaryOf, useSummaries, wantSummaries } from '../../../state/summaries.ts'
import { railCount, type WallGeometry, wallGeometry } from './geometry.ts'
import { useKeptPlace } from './keep-place.ts'
import { seePictures } from './picture-queue.ts'
import { Rail } from './rail.tsx'
import { useLasso } from './use-lasso.ts'
import { railsInPage, type Sight, useInnerSize, useSight } from './use-sight.ts'
import { useWallKeys } from './use-wall-keys.ts'

/** Panels whose summaries are asked for beyond those in sight: in the way one scrolls, and behind. */
const panelsAhead = 600
const panelsBehind = 60

type Props = {
  order: RackOrder
  doubts: ReadonlyMap<string, Suspect[]>
  onDoubt: (panelId: string) => void
}

/**
 * Panels hang from rails. Only rails near the sight are in the page and all are one height, so that 10,000 panels scroll
 * without a blank. Arrows move, Space chooses, Enter opens, dragging a frame chooses.
 */
export function Wall({ order, doubts, onDoubt }: Props) {
  const { ids, groups, groupedBy, of } = order
  const size = useStore((s) => s.cardSize)
  const scroller = useRef<HTMLDivElement>(null)
  const frame = useRef<HTMLDivElement>(null)
  const inner = useInnerSize(scroller)
  const width = inner?.width
  const wall = useMemo(
    () => (width === undefined ? null : wallGeometry(ids.length, width, size)),
    [ids.length, width, size],
  )
  useKeptPlace(scroller, wall, of)
  const sight = useSight(scroller, wall)
  useWanted(order, wall, sight)
  const wasDragged = useLasso({ scroller, frame, wall, ids })

  const [current, setCurrent] = useState(() => startingHook(order))
  const at = Math.min(current, ids.length - 1)
  const focusWanted = useRef<'back' | 'moved' | null>(cameBack() ? 'back' : null)
  const moveTo = (index: number) => {
    focusWanted.current = 'moved'
    setCurrent(index)
    if (scroller.current && wall) scrollTo(scroller.current, index, wall)
  }
  useLayoutEffect(() => {
    if (focusWanted.current === null || !sight) return
    const card = scroller.current?.querySelector<HTMLElement>(`[data-index="${at}"]`)
    // where one came back to another part of the wall, nothing takes the focus later on
    if (!card && focusWanted.current === 'moved') return
    focusWanted.current = null
    card?.focus({ preventScroll: true })
  })
  useFocusKept(scroller, at)
  const open = (index: number) => {
    const id = ids[index]!
    useStore.getState().setView({ lastPanel: id })
    go({ at: 'panel', key: summaryOf(useSummaries.getState(), id)?.code ?? id })
  }
  const railsInSight = () => (wall ? Math.max(1, Math.floor((inner?.height ?? 0) / wall.railHeight)) : 1)
  const columns = wall?.columns ?? 1
  const keys = useWallKeys({ ids, groups, at, columns, railsInSight, onMove: moveTo, onOpen: open })

  const press = (event: MouseEvent) => {
    const card = (event.target as Element).closest<HTMLElement>('[data-index]')
    const dragged = wasDragged()
    if (!card) return
    event.preventDefault()
    if (dragged) return
    const index = Number(card.dataset.index)
    setCurrent(index)
    if (event.shiftKey) keys.chooseTo(index, at)
    else if (event.ctrlKey || event.metaKey || useStore.getState().choosing) keys.choose(index)
    else open(index)
  }
  const rails = wall ? railCount(wall) : 0
  // the focus may have been scrolled out of the page; Tab then enters at what is in sight
  const inPage = sight && at >= sight.from * columns && at < (sight.to + 1) * columns
  const tabStop = inPage || !sight ? at : sight.first * columns
  return (
    <div className="rack-wall scroll" ref={scroller}>
      <div
        className="rack-rails"
        role="grid"
        tabIndex={-1}
        aria-label="Panels"
        aria-multiselectable="true"
        aria-rowcount={rails}
        aria-colcount={columns}
        style={{ height: wall ? rails * wall.railHeight : 0 }}
        onKeyDown={keys.onKey}
        onClick={press}
        onFocus={({ target }) => {
          const { index } = (target.closest('.rack-hook')?.querySelector<HTMLElement>('[data-index]') ?? target).dataset
          if (index !== undefined) setCurrent(Number(index))
        }}
      >
        {wall && sight
          ? railsOf(sight, rails).map((rail) => (
              <Rail
                // what one rail leaves in the page, another takes over
                key={rail % railsInPage(wall)}
                rail={rail}
                ids={ids}
                groups={groups}
                groupedBy={groupedBy}
                wall={wall}
                current={Math.floor(tabStop / wall.columns) === rail ? tabStop : null}
                doubts={doubts}
                onDoubt={onDoubt}
              />
            ))
          : null}
        <div className="rack-lasso" ref={frame} hidden aria-hidden="true" />
      </div>
    </div>
  )
}

const railsOf = ({ from, to }: Sight, rails: number): number[] =>
  Array.from({ length: Math.max(0, Math.min(to, rails - 1) - from + 1) }, (_, row) => from + row)

/** Asks for what is in sight, then for what comes next. */
function useWanted({ ids, revision }: RackOrder, wall: WallGeometry | null, sight: Sight | null) {
  const before = useRef(0)
  useEffect(() => {
    if (!wall || !sight) return
    const first = sight.first * wall.columns
    const end = (sight.last + 1) * wall.columns
    const down = sight.first >= before.current
    before.current = sight.first
    const below = ids.slice(end, end + (down ? panelsAhead : panelsBehind))
    const above = ids.slice(Math.max(0, first - (down ? panelsBehind : panelsAhead)), first).toReversed()
    const seen = ids.slice(first, end)
    seePictures(first, end)
    wantSummaries([...seen, ...(down ? [...below, ...above] : [...above, ...below])], seen.length)
  }, [ids, revision, wall, sight])
}

/**
 * Where the card that has the focus is scrolled out of the page, the wall keeps the focus and with it the keys. Its
 * element may be another panel's by then, which must not seem to have it.
 */
function useFocusKept(scroller: RefObject<HTMLDivElement | null>, at: number) {
  const inside = useRef(false)
  useLayoutEffect(() => {
    const element = scroller.current
    if (!element) return
    const enter = () => {
      inside.current = true
    }
    // an element that is taken out of the page tells nobody that it lost the focus
    const leave = ({ relatedTarget: to }: FocusEvent) => {
      inside.current = to instanceof Node && element.contains(to)
    }
    element.addEventListener('focusin', enter)
    element.addEventListener('focusout', leave)
    return () => {
      element.removeEventListener('focusin', enter)
      element.removeEventListener('focusout', leave)
    }
  }, [scroller])
  // after each drawing: it may have been another panel's element that was drawn anew
  useLayoutEffect(() => {
    if (!inside.current) return
    const { activeElement: active } = document
    const index = active?.closest('.rack-hook')?.querySelector<HTMLElement>('[data-index]')?.dataset.index
    if (Number(index) === at) return
    const grid = scroller.current?.querySelector<HTMLElement>('.rack-rails')
    const card = grid?.querySelector<HTMLElement>(`[data-index="${at}"]`) ?? grid
    if (card !== active) card?.focus({ preventScroll: true })
  })
}

/** Brings a hook's rail into sight, by the shortest way. */
function scrollTo(element: HTMLElement, index: number, { columns, railHeight }: WallGeometry) {
  const top = Math.floor(index / columns) * railHeight
  if (top < element.scrollTop) element.scrollTop = top
  else if (top + railHeight > element.scrollTop + element.clientHeight)
    element.scrollTop = top + railHeight - element.clientHeight
}

/** The panel that was opened last, so that going back finds the focus where it was. */
function startingHook({ placeOf }: RackOrder): number {
  const last = useStore.getState().lastPanel
  return (last === null ? undefined : placeOf.get(last)) ?? 0
}

/** Whether one comes from a panel that was opened here, and nothing else has the focus. */
const cameBack = () => useStore.getState().lastPanel !== null && document.activeElement === document.body
