import { type RefObject, useEffect, useLayoutEffect, useState } from 'react'
import { flushSync } from 'react-dom'
import { create } from 'zustand'
import { railsInSight, type WallGeometry } from './geometry.ts'

/** Rails kept in the page beyond those in sight, in the way one scrolls and behind. */
const ahead = 3
const behind = 1
/** Faster than this a picture would be gone before it came: the flat colours pass by, and no picture is asked for. */
const pacePanelsPerSecond = 150
const restMs = 90

/** Which rails are in sight, and which are in the page. */
export type Sight = { first: number; last: number; from: number; to: number }

/** Whether the wall runs too fast for pictures; rails ask it by themselves, so that the wall is not drawn anew. */
export const usePace = create<{ fast: boolean }>(() => ({ fast: false }))

/** As many rails as are ever in the page at a time; the wall is never higher than the window. */
export const railsInPage = ({ railHeight }: WallGeometry): number =>
  Math.ceil(innerHeight / railHeight) + 1 + ahead + behind

function sightAt(top: number, height: number, wall: WallGeometry, way: number): Sight {
  const { first, last } = railsInSight(top, height, wall)
  const most = Math.ceil(wall.count / wall.columns) - 1
  return {
    first,
    last,
    from: Math.max(0, first - (way < 0 ? ahead : behind)),
    to: Math.min(most, last + (way < 0 ? behind : ahead)),
  }
}

/** Follows the scroll. @returns null until the wall has a size */
export function useSight(scroller: RefObject<HTMLDivElement | null>, wall: WallGeometry | null): Sight | null {
  const [sight, setSight] = useState<Sight | null>(null)
  // before the first paint, and whenever cards or the window change their size
  useLayoutEffect(() => {
    const element = scroller.current
    if (element && wall) setSight(sightAt(element.scrollTop, element.clientHeight, wall, 1))
  }, [scroller, wall])
  useEffect(() => {
    const element = scroller.current
    if (!element || !wall) return
    let before = { top: element.scrollTop, at: performance.now() }
    let wait: ReturnType<typeof setTimeout> | undefined
    const follow = () => {
      const { scrollTop: top, clientHeight: height } = element
      const at = performance.now()
      const moved = top - before.top
      const rails = Math.abs(moved) / wall.railHeight
      const pace = (rails * wall.columns * 1000) / Math.max(8, at - before.at)
      before = { top, at }
      // a leap is no run: where one lands, pictures are wanted
      const leap = Math.abs(moved) > 2 * height
      usePace.setState({ fast: pace > pacePanelsPerSecond && !leap })
      clearTimeout(wait)
      wait = setTimeout(() => usePace.setState({ fast: false }), restMs)
      const next = sightAt(top, height, wall, moved)
      // drawn at once: the next frame must not show a rail that is not there
      flushSync(() => setSight((now) => (now && sameSight(now, next) ? now : next)))
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
