import { type RefObject, useLayoutEffect, useState } from 'react'
import type { Bay } from './scale.ts'

/** How large an element is now, in CSS pixels. */
export function useSize(element: RefObject<HTMLElement | null>): Bay {
  const [size, setSize] = useState<Bay>({ width: 0, height: 0 })
  useLayoutEffect(() => {
    const { current } = element
    if (!current) return
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = current
      setSize((before) => (before.width === width && before.height === height ? before : { width, height }))
    }
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(current)
    return () => watch.disconnect()
  }, [element])
  return size
}
