import { useEffect, useLayoutEffect, useState } from 'react'
import type { Room } from './geometry/projection.ts'

/** How large an element is, in CSS pixels, also after the window has changed. */
export function useRoom(element: { current: HTMLElement | null }): Room {
  const [room, setRoom] = useState<Room>({ width: 0, height: 0 })
  useLayoutEffect(() => {
    const measured = element.current
    if (!measured) return
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = measured
      setRoom((before) => (before.width === width && before.height === height ? before : { width, height }))
    }
    measure()
    const observer = new ResizeObserver(measure)
    observer.observe(measured)
    return () => observer.disconnect()
  }, [element])
  return room
}

/** Pixels of the screen for one of CSS; asked again when the window moves to another screen. */
export function useDpr(): number {
  const [dpr, setDpr] = useState(() => devicePixelRatio)
  useEffect(() => {
    const list = matchMedia(`(resolution: ${dpr}dppx)`)
    const listen = () => setDpr(devicePixelRatio)
    list.addEventListener('change', listen)
    return () => list.removeEventListener('change', listen)
  }, [dpr])
  // more than that nobody sees on a mark, and it costs four times the time
  return Math.min(2, dpr)
}
