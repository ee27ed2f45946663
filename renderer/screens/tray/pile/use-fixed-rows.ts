import { type RefObject, useEffect, useRef, useState } from 'react'

/** Rows kept ready above and below what is seen. */
const beyond = 6

export type FixedRows<T extends HTMLElement> = {
  /** The element that scrolls. */
  scroller: RefObject<T | null>
  /** Rows to draw: `from` is included, `to` is not. */
  from: number
  to: number
  /** Scrolls as little as needed for this row to be seen whole. */
  bringIn: (row: number) => void
}

/** Which rows of a long list are seen, when all are equally high: the others are not drawn, nor asked for. */
export function useFixedRows<T extends HTMLElement = HTMLUListElement>(count: number, rowHeight: number): FixedRows<T> {
  const scroller = useRef<T>(null)
  const [seen, setSeen] = useState({ from: 0, to: 0 })
  useEffect(() => {
    const element = scroller.current
    if (!element) return
    const look = () => {
      const from = Math.max(0, Math.floor(element.scrollTop / rowHeight) - beyond)
      const to = Math.min(count, Math.ceil((element.scrollTop + element.clientHeight) / rowHeight) + beyond)
      setSeen((before) => (before.from === from && before.to === to ? before : { from, to }))
    }
    look()
    element.addEventListener('scroll', look, { passive: true })
    const size = new ResizeObserver(look)
    size.observe(element)
    return () => {
      element.removeEventListener('scroll', look)
      size.disconnect()
    }
  }, [count, rowHeight])
  return {
    scroller,
    ...seen,
    bringIn: (row) => {
      const element = scroller.current
      if (!element) return
      const top = row * rowHeight
      const low = top + rowHeight - element.clientHeight
      if (element.scrollTop > top) element.scrollTop = top
      else if (element.scrollTop < low) element.scrollTop = low
    },
  }
}
