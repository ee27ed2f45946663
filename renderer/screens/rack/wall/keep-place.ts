import { type RefObject, useLayoutEffect, useRef } from 'react'
import { useStore } from '../../../state/store.ts'
import type { WallGeometry } from './geometry.ts'

const restMs = 120

/**
 * Keeps the place that one looked at: on return and after a reload the same rails are in sight; when cards become larger
 * or the window narrower, the first panel in sight stays. Another list starts at its top.
 * @param listKey  what is listed
 */
export function useKeptPlace(scroller: RefObject<HTMLDivElement | null>, wall: WallGeometry | null, listKey: string) {
  const shown = useRef<{ listKey: string; wall: WallGeometry } | null>(null)
  // as it was before the wall was drawn anew: a wall that has become shorter has cut it off by now
  const top = useRef(0)
  useLayoutEffect(() => {
    const element = scroller.current
    if (!element || !wall) return
    const before = shown.current
    shown.current = { listKey, wall }
    const go = (to: number) => {
      top.current = scrolledTo(element, to)
    }
    if (before === null) go(offsetOf(readPlace(), wall))
    else if (before.listKey !== listKey) go(0)
    else if (before.wall.columns !== wall.columns || before.wall.railHeight !== wall.railHeight)
      go(offsetOf(placeAt(top.current, before.wall), wall))
  }, [scroller, wall, listKey])

  // a layout effect: its end still finds the wall in the page
  useLayoutEffect(() => {
    const element = scroller.current
    if (!element) return
    const keep = () => {
      if (shown.current) keepPlace(placeAt(top.current, shown.current.wall))
    }
    let wait: ReturnType<typeof setTimeout> | undefined
    const later = () => {
      top.current = element.scrollTop
      clearTimeout(wait)
      wait = setTimeout(keep, restMs)
    }
    element.addEventListener('scroll', later, { passive: true })
    return () => {
      clearTimeout(wait)
      keep()
      element.removeEventListener('scroll', later)
    }
  }, [scroller])
}

/** @returns where it came to stand: a short wall does not go so far */
function scrolledTo(element: HTMLElement, top: number): number {
  element.scrollTop = top
  return element.scrollTop
}

/** The first hook in sight, and how much of its rail has gone by (0..1). */
type Place = { index: number; gone: number }

function placeAt(top: number, { columns, railHeight }: WallGeometry): Place {
  const rail = Math.floor(top / railHeight)
  return { index: rail * columns, gone: top / railHeight - rail }
}

function offsetOf({ index, gone }: Place, { columns, railHeight }: WallGeometry): number {
  return (Math.floor(index / columns) + gone) * railHeight
}

function readPlace(): Place {
  const { scrolls } = useStore.getState()
  return { index: scrolls.rack ?? 0, gone: scrolls['rack.gone'] ?? 0 }
}

function keepPlace({ index, gone }: Place): void {
  const { keepScroll } = useStore.getState()
  keepScroll('rack', index)
  keepScroll('rack.gone', gone)
}
