import { type RefObject, useEffect, useLayoutEffect, useState } from 'react'
import { flushSync } from 'react-dom'
import { create } from 'zustand'
import { railsInSight, type WallGeometry } from './geometry.ts'

/** Rails kept in the page beyond those in sight, in the way one scrolls and behind; and when several rails go by at once. */
const usual = { ahead: 3, behind: 1 }
const leaping = { ahead: 1, behind: 0 }
const leapRails = 2
/** Faster than this a picture would be gone before it came: the flat colours pass by, and no picture is asked for. */
const pacePanelsPerSecond = 150
const restMs = 90
/** The pace is that of so long: one turn of a wheel is no run. */
const paceMs = 120

/** Which rails are in sight, and which are in the page. */
export type Sight = { first: number; last: number; from: number; to: number }

/** Whether the wall runs too fast for pictures; rails ask it by themselves, so that the wall is not drawn anew. */
export const usePace = create<{ fast: boolean }>(() => ({ fast: false }))

/** As many rails as are ever in the page at a time; the wall is never higher than the window. */
export const railsInPage = ({ railHeight }: WallGeometry): number =>
  Math.ceil(innerHeight / railHeight) + 1 + usual.ahead + usual.behind

/** @param moved since the sight before, in pixels */
function sightAt({ scrollTop: top, clientHeight: height }: HTMLElement, wall: WallGeometry, moved: number): Sight {
  const { first, last } = railsInSight(top, height, wall)
  const { ahead, behind } = Math.abs(moved) > leapRails * wall.railHeight ? leaping : usual
  const most = Math.ceil(wall.count / wall.columns) - 1
  return {
    first,
    last,
    from: Math.max(0, first - (moved < 0 ? ahead : behind)),
    to: Math.min(most, last + (moved < 0 ? behind : ahead)),
  }
}

/** Follows the scroll. @returns null until the wall has a size */
export function useSight(scroller: RefObject<HTMLDivElement | null>, wall: WallGeometry | null): Sight | null {
  const [sight, setSight] = useState<Sight | null>(null)
  // before the first paint, and whenever cards or the window change their size
  useLayoutEffect(() => {
    const element = scroller.current
    if (element && wall) setSight(sightAt(element, wall, 0))
  }, [scroller, wall])
  useEffect(() => {
    const element = scroller.current
    if (!element || !wall) return
    let top = element.scrollTop
    let steps: { at: number; moved: number }[] = []
    let wait: ReturnType<typeof setTimeout> | undefined
    const look = (moved: number) => {
      const next = sightAt(element, wall, moved)
      // drawn at once: the next frame must not show a rail that is not there
      flushSync(() => setSight((now) => (now && sameSight(now, next) ? now : next)))
    }
    const rest = () => {
      usePace.setState({ fast: false })
      look(0)
    }
    const follow = () => {
      const moved = element.scrollTop - top
      top = element.scrollTop
      const at = performance.now()
      steps.push({ at, moved: Math.abs(moved) })
      steps = steps.filter((step) => step.at > at - paceMs)
      const rails = steps.reduce((sum, step) => sum + step.moved, 0) / wall.railHeight
      usePace.setState({ fast: (rails * wall.columns * 1000) / paceMs > pacePanelsPerSecond })
      clearTimeout(wait)
      wait = setTimeout(rest, restMs)
      look(moved)
    }
    element.addEventListener('scroll', follow, { passive: true })
    return () => {
      clearTimeout(wait)
      usePace.setState({ fast: false })
      element.removeEventListener('scroll', follow)
    }
  }, [scroller, wall])
  return sight
}

const sameSight = (a: Sight, b: Sight) => a.first === b.first && a.last === b.last && a.from === b.from && a.to === b.to

/** The wall's width and height inside its scroll bar. */
export function useInnerSize(element: RefObject<HTMLDivElement | null>): { width: number; height: number } | null {
  const [size, setSize] = useState<{ width: number; height: number } | null>(null)
  useLayoutEffect(() => {
    const measured = element.current
    if (!measured) return
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = measured
      setSize((now) => (now?.width === width && now.height === height ? now : { width, height }))
    }
    measure()
    const observer = new ResizeObserver(measure)
    observer.observe(measured)
    return () => observer.disconnect()
  }, [element])
  return size
}
