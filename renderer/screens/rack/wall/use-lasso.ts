import { type RefObject, useEffect, useEffectEvent, useRef } from 'react'
import type { WallGeometry } from './geometry.ts'
import { type Lasso, watchLasso } from './lasso.ts'

type Props = {
  scroller: RefObject<HTMLDivElement | null>
  frame: RefObject<HTMLDivElement | null>
  wall: WallGeometry | null
  ids: readonly string[]
}

/** @returns whether the press that just ended dragged a frame */
export function useLasso({ scroller, frame, wall, ids }: Props): () => boolean {
  const lasso = useRef<Lasso | null>(null)
  const now = useEffectEvent(() => ({ wall, ids }))
  useEffect(() => {
    if (!scroller.current || !frame.current) return
    const watched = watchLasso(scroller.current, frame.current, () => now())
    lasso.current = watched
    return () => watched.end()
  }, [scroller, frame])
  return () => lasso.current?.wasDragged() ?? false
}
