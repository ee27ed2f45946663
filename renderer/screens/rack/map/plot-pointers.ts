import { type PointerEvent, useEffect, useEffectEvent, useRef, useState } from 'react'
import type { Place } from './geometry/grid.ts'
import type { Taking } from './geometry/loop.ts'
import type { Spot } from './geometry/projection.ts'
import { colourAt, pan, zoomBy } from './map-acts.ts'
import { useMap } from './map-state.ts'

/** A press that moves less is no drag, in pixels. */
const still = 5
/** The loop's line is kept in steps of this, in pixels. */
const lineStep = 3

type Drag =
  | { kind: 'loop'; from: Spot; last: Spot; taking: Taking; line: Place[]; moved: boolean }
  | { kind: 'pan'; last: Spot; moved: boolean; from: Spot }
  | { kind: 'pinch' }

type Asks = {
  /** A loop was closed. */
  onLoop: (line: readonly Place[], taking: Taking) => void
  /** A press without a drag; `toggles` with a key that chooses. */
  onPress: (place: Place, toggles: boolean) => void
  onHover: (place: Place | null) => void
}

/**
 * Fingers, pen and mouse on the map: a drag draws a loop or moves the map, as the tool says; two fingers move and zoom; the
 * middle button always moves; the wheel zooms at the pointer.
 */
export function usePointers(canvas: { current: HTMLElement | null }, { onLoop, onPress, onHover }: Asks) {
  const pointers = useRef(new Map<number, Spot>())
  const drag = useRef<Drag | null>(null)
  const [line, setLine] = useState<readonly Place[] | null>(null)

  const spotOf = (event: { clientX: number; clientY: number }): Spot => {
    const box = canvas.current?.getBoundingClientRect()
    return { x: event.clientX - (box?.left ?? 0), y: event.clientY - (box?.top ?? 0) }
  }
  const end = () => {
    drag.current = null
    setLine(null)
  }

  const onWheel = useEffectEvent((event: WheelEvent) => {
    event.preventDefault()
    // lines (mouse wheels of some browsers) and pinches on a touchpad come in other sizes than pixels
    const unit = event.deltaMode === 1 ? 16 : 1
    zoomBy(Math.exp(-event.deltaY * unit * (event.ctrlKey ? 0.01 : 0.0015)), spotOf(event))
    if (event.deltaX !== 0 && !event.ctrlKey) pan(-event.deltaX * unit, 0)
  })
  useEffect(() => {
    const element = canvas.current
    const listen = (event: WheelEvent) => onWheel(event)
    element?.addEventListener('wheel', listen, { passive: false })
    return () => element?.removeEventListener('wheel', listen)
  }, [canvas])

  /** Two fingers: what lay under their middle stays there, and they keep their colours. */
  const pinch = (id: number, to: Spot) => {
    const other = [...pointers.current].find(([key]) => key !== id)?.[1]
    const from = pointers.current.get(id)
    if (!other || !from) return
    const before = { x: (from.x + other.x) / 2, y: (from.y + other.y) / 2 }
    const after = { x: (to.x + other.x) / 2, y: (to.y + other.y) / 2 }
    pan(after.x - before.x, after.y - before.y)
    const [was, is] = [Math.hypot(from.x - other.x, from.y - other.y), Math.hypot(to.x - other.x, to.y - other.y)]
    if (was > 1 && is > 1) zoomBy(is / was, after)
  }

  const handlers = {
    onPointerDown(event: PointerEvent<HTMLElement>) {
      if (event.button > 1) return
      const spot = spotOf(event)
      pointers.current.set(event.pointerId, spot)
      event.currentTarget.setPointerCapture?.(event.pointerId)
      onHover(null)
      const { tool } = useMap.getState()
      if (pointers.current.size === 2) {
        setLine(null)
        drag.current = { kind: 'pinch' }
      } else if (tool === 'move' || event.button === 1) {
        event.preventDefault()
        drag.current = { kind: 'pan', last: spot, from: spot, moved: false }
      } else {
        const taking = event.shiftKey ? 'add' : event.altKey ? 'away' : tool
        drag.current = { kind: 'loop', from: spot, last: spot, taking, line: [colourAt(spot)], moved: false }
      }
    },
    onPointerMove(event: PointerEvent<HTMLElement>) {
      const spot = spotOf(event)
      const now = drag.current
      if (!now) {
        if (event.pointerType !== 'touch') onHover(colourAt(spot))
        return
      }
      if (!pointers.current.has(event.pointerId)) return
      if (now.kind === 'pinch') pinch(event.pointerId, spot)
      else {
        if (!now.moved && Math.hypot(spot.x - now.from.x, spot.y - now.from.y) < still) return
        now.moved = true
        if (now.kind === 'pan') {
          pan(spot.x - now.last.x, spot.y - now.last.y)
          now.last = spot
        } else if (Math.hypot(spot.x - now.last.x, spot.y - now.last.y) >= lineStep) {
          now.last = spot
          now.line = [...now.line, colourAt(spot)]
          setLine(now.line)
        }
      }
      pointers.current.set(event.pointerId, spot)
    },
    onPointerUp(event: PointerEvent<HTMLElement>) {
      const now = drag.current
      pointers.current.delete(event.pointerId)
      if (!now) return
      if (now.kind === 'pinch') {
        if (pointers.current.size === 0) end()
        return
      }
      end()
      if (now.kind === 'loop' && now.moved) onLoop(now.line, now.taking)
      else if (!now.moved && event.button === 0)
        onPress(colourAt(now.from), event.shiftKey || event.ctrlKey || event.metaKey)
    },
    onPointerCancel(event: PointerEvent<HTMLElement>) {
      pointers.current.delete(event.pointerId)
      end()
    },
    onPointerLeave() {
      if (!drag.current) onHover(null)
    },
  }
  return { line, handlers, isDragging: () => drag.current !== null, giveUp: end }
}
