import './wall.css'
import { useVirtualizer } from '@tanstack/react-virtual'
import { type KeyboardEvent, type MouseEvent, useEffect, useLayoutEffect, useRef, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { Suspect } from '../../../shared-core/records/film.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { chooseBetween, type Hook, moveOnWall, railOf, roomForName, toggleChosen } from './arrange.ts'
import { DoubtMark } from './doubt-mark.tsx'
import { reasonsInWords } from './doubts.ts'
import { HangingPanel } from './hanging-panel.tsx'

/** Left and right of the rails inside the wall, see rack.css. */
const sides = { left: 24, right: 16 }
/** Beside the paint: tally at the left, air at the right. */
const besidePaint = 40
/** Rail, hook and caption; the paint is twice as high as wide. */
const abovePaint = 54
const belowPaint = 64

type Props = {
  hooks: Hook[]
  choosing: boolean
  onChoosing: (on: boolean) => void
  listKey: string
  /** Panels that do not fit the rest, and what asks why. */
  doubts: ReadonlyMap<string, Suspect[]>
  onDoubt: (panelId: string) => void
}

/**
 * Panels hang from rails. Only rails in sight are in the page; all are one height, so that 10,000 panels scroll without
 * a blank. Arrows move, Space chooses, Enter opens.
 */
export function Wall({ hooks, choosing, onChoosing, listKey, doubts, onDoubt }: Props) {
  const [size, chosen, setView] = useStore(useShallow((s) => [s.cardSize, s.chosen, s.setView]))
  const scroller = useRef<HTMLDivElement>(null)
  const columns = useColumns(scroller, size)
  const rails = Math.ceil(hooks.length / columns)
  const railHeight = size * 2 + abovePaint + belowPaint
  const virtual = useVirtualizer({
    count: rails,
    getScrollElement: () => scroller.current,
    estimateSize: () => railHeight,
    overscan: 3,
    initialOffset: () => useStore.getState().scrolls.rack ?? 0,
  })
  useEffect(() => virtual.measure(), [virtual, railHeight])
  useScrollKept(scroller, listKey)

  const anchor = useRef<number | null>(null)
  const [current, setCurrent] = useState(() => startingHook(hooks))
  const focusWanted = useRef(false)
  const at = Math.min(current, hooks.length - 1)

  const moveTo = (index: number) => {
    focusWanted.current = true
    setCurrent(index)
    virtual.scrollToIndex(Math.floor(index / columns), { align: 'auto' })
  }
  useEffect(() => {
    if (!focusWanted.current) return
    const card = scroller.current?.querySelector<HTMLElement>(`[data-panel="${hooks[at]?.panel.id}"]`)
    if (!card) return
    focusWanted.current = false
    card.focus({ preventScroll: true })
  })

  const choose = (index: number, range: boolean) => {
    const from = anchor.current
    setView({
      chosen:
        range && from !== null
          ? chooseBetween(chosen, hooks, from, index)
          : toggleChosen(chosen, hooks[index]!.panel.id),
    })
    anchor.current = index
  }
  const open = (index: number) => {
    const panel = hooks[index]!.panel
    setView({ lastPanel: panel.id })
    go({ at: 'panel', key: panel.code })
  }
  const press = (event: MouseEvent, index: number) => {
    setCurrent(index)
    if (event.shiftKey) choose(index, true)
    else if (event.ctrlKey || event.metaKey || choosing) choose(index, false)
    else open(index)
  }
  const onKey = (event: KeyboardEvent) => {
    if (event.key === ' ') choose(at, event.shiftKey)
    else if (event.key === 'Enter') open(at)
    else if (event.key === 'a' && (event.ctrlKey || event.metaKey))
      setView({ chosen: chooseBetween(chosen, hooks, 0, hooks.length - 1) })
    else {
      const rowsInView = Math.max(1, Math.floor((scroller.current?.clientHeight ?? 0) / railHeight))
      const to = moveOnWall(event.key, at, hooks.length, columns, rowsInView)
      if (to === at && !/^(Arrow|Page|Home|End)/.test(event.key)) return
      if (event.shiftKey && to !== at) setView({ chosen: chooseBetween(chosen, hooks, at, to) })
      moveTo(to)
    }
    event.preventDefault()
  }

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
        style={{ height: virtual.getTotalSize() }}
        onKeyDown={onKey}
      >
        {virtual.getVirtualItems().map((item) => {
          const rail = railOf(hooks, item.index, columns)
          return (
            <div
              key={item.key}
              className="rack-rail"
              role="row"
              aria-rowindex={item.index + 1}
              style={{
                transform: `translateY(${item.start}px)`,
                height: railHeight,
                gridTemplateColumns: `repeat(${columns}, minmax(0, 1fr))`,
                ['--size' as string]: `${size}px`,
              }}
            >
              {rail.map((hook, column) => {
                const suspects = doubts.get(hook.panel.id)
                return (
                  <div
                    key={hook.panel.id}
                    className={`rack-hook ${hook.group ? 'is-first' : ''} ${suspects ? 'is-doubted' : ''}`}
                    role="gridcell"
                    aria-colindex={column + 1}
                    aria-selected={chosen.includes(hook.panel.id)}
                  >
                    {hook.group ? <GroupName group={hook.group} room={roomForName(rail, column, columns)} /> : null}
                    <HangingPanel
                      panel={hook.panel}
                      chosen={chosen.includes(hook.panel.id)}
                      doubt={suspects ? reasonsInWords(suspects) : null}
                      current={hook.index === at}
                      onFocus={() => setCurrent(hook.index)}
                      onPress={(event) => press(event, hook.index)}
                      onLongPress={() => {
                        onChoosing(true)
                        choose(hook.index, false)
                      }}
                    />
                    {suspects ? (
                      <DoubtMark suspects={suspects} current={hook.index === at} onAsk={() => onDoubt(hook.panel.id)} />
                    ) : null}
                  </div>
                )
              })}
            </div>
          )
        })}
      </div>
    </div>
  )
}

/** The name stands right of its stop; where the next stop follows at once it is set narrow. */
function GroupName({ group, room }: { group: NonNullable<Hook['group']>; room: number }) {
  const name = group.name === null ? 'No ground' : room > 1 ? `Over ${group.name}` : group.name
  return (
    <h2
      className={`rack-group ${room > 1 ? 'railname' : 'is-narrow'}`}
      style={{ width: `calc(${room * 100}% - ${room > 1 ? 32 : 20}px)` }}
    >
      {name} <span className="fine">{group.count}</span>
    </h2>
  )
}

/** The panel that was opened last, so that going back finds the focus where it was. */
function startingHook(hooks: readonly Hook[]): number {
  const last = useStore.getState().lastPanel
  return Math.max(
    0,
    hooks.findIndex((hook) => hook.panel.id === last),
  )
}

function useColumns(scroller: { current: HTMLDivElement | null }, size: number): number {
  const [width, setWidth] = useState(0)
  useLayoutEffect(() => {
    const element = scroller.current!
    const measure = () => setWidth(element.clientWidth)
    measure()
    const observer = new ResizeObserver(measure)
    observer.observe(element)
    return () => observer.disconnect()
  }, [scroller])
  return Math.max(1, Math.floor((width - sides.left - sides.right) / (size + besidePaint)))
}

/** Scroll comes back on return; another list starts at its top. */
function useScrollKept(scroller: { current: HTMLDivElement | null }, listKey: string) {
  const shown = useRef(listKey)
  // a layout effect: its end still finds the wall in the page
  useLayoutEffect(() => {
    const element = scroller.current!
    const keep = () => useStore.getState().keepScroll('rack', element.scrollTop)
    let wait: ReturnType<typeof setTimeout> | undefined
    const later = () => {
      clearTimeout(wait)
      wait = setTimeout(keep, 120)
    }
    element.addEventListener('scroll', later, { passive: true })
    return () => {
      clearTimeout(wait)
      keep()
      element.removeEventListener('scroll', later)
    }
  }, [scroller])
  useEffect(() => {
    if (shown.current === listKey) return
    shown.current = listKey
    scroller.current?.scrollTo({ top: 0 })
  }, [listKey, scroller])
}
