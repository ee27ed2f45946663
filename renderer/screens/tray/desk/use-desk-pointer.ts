import { type RefObject, useEffect } from 'react'
import type { Point } from '../../../../shared-core/records/area.ts'
import { changeMarks, chooseMark, useDesk } from '../desk-state.ts'
import { bandAt, cutAt, handlesOf, hitAt, type MarkKey, moveCut, moveHandle, moveWhole } from '../moving.ts'
import { deskKey } from './desk-keys.ts'
import { drawn } from './drawing.ts'
import { prepareSnapping, snapped } from './near/snapping.ts'
import { fitView, panBy, toPhoto, type View, zoomAt } from './zoom.ts'

/** Half a target: how far from a handle a finger may be. */
const reachPx = 22
/** A pointer that moved less than this has clicked. */
const slackPx = 5

type Drag =
  | { what: 'pan'; last: Point }
  | { what: 'draw'; start: Point }
  | { what: 'handle'; key: MarkKey; handle: number; off: Point; tag: string }
  | { what: 'cut'; key: number; cut: number; tag: string }
  | { what: 'move'; key: MarkKey; start: Point; last: Point; moved: boolean; tag: string }

let drags = 0

/** Mouse, pen and fingers on the stage: marks, corners, cuts; one finger on free ground or space pans, two zoom. */
export function useDeskPointer(stage: RefObject<HTMLElement | null>): void {
  const photoId = useDesk((s) => s.photo?.id)
  useEffect(() => {
    const element = stage.current
    if (!element || photoId === undefined) return
    return listen(element)
  }, [photoId, stage])
}

function listen(element: HTMLElement): () => void {
  const fingers = new Map<number, Point>()
  let drag: Drag | null = null
  let space = false

  const at = (event: MouseEvent): Point => {
    const box = element.getBoundingClientRect()
    return [event.clientX - box.left, event.clientY - box.top]
  }
  const viewNow = (): View => {
    const { view, photo, room } = useDesk.getState()
    return view ?? fitView(photo!, room)
  }

  const down = (event: PointerEvent) => {
    if (event.button > 1 || !useDesk.getState().photo) return
    // a plate is pressed by itself, but with a tool in hand the photo under it is meant
    const onPlate = event.target instanceof Element && event.target.closest('[data-own-pointer]') !== null
    if (onPlate && useDesk.getState().tool === null) return
    const screen = at(event)
    fingers.set(event.pointerId, screen)
    element.setPointerCapture?.(event.pointerId)
    element.focus({ preventScroll: true })
    event.preventDefault()
    if (fingers.size > 1) {
      drag = null
      useDesk.setState({ drawing: null })
    } else
      drag = space || event.button === 1 ? { what: 'pan', last: screen } : begin(screen, viewNow(), event.pointerType)
    hold(event, screen)
  }

  const move = (event: PointerEvent) => {
    const before = fingers.get(event.pointerId)
    if (!before) return
    const screen = at(event)
    fingers.set(event.pointerId, screen)
    if (fingers.size === 2) pinch(fingers, event.pointerId, before, viewNow())
    else if (drag) {
      drag = follow(drag, screen, viewNow(), event.altKey)
      hold(event, screen)
    }
  }

  /** Where the magnifier must not stand. */
  const hold = ({ pointerType }: PointerEvent, screen: Point) => {
    const holds = drag?.what === 'handle' || drag?.what === 'cut'
    if (holds || useDesk.getState().held) useDesk.setState({ held: holds ? { by: pointerType, at: screen } : null })
  }

  const up = (event: PointerEvent) => {
    if (!fingers.delete(event.pointerId)) return
    if (drag?.what === 'draw') endDrawing(drag.start, at(event), viewNow())
    drag = null
    useDesk.setState({ held: null })
  }

  const cancel = (event: PointerEvent) => {
    fingers.delete(event.pointerId)
    drag = null
    useDesk.setState({ drawing: null, held: null })
  }

  const wheel = (event: WheelEvent) => {
    event.preventDefault()
    const { view, photo, room } = useDesk.getState()
    if (!photo) return
    // A touch pad's sideways scroll and Shift move a zoomed photo; everything else, and a pinch, zooms.
    const pans = view !== null && !event.ctrlKey && (event.shiftKey || event.deltaX !== 0)
    if (pans) useDesk.setState({ view: panBy(view, [-event.deltaX, -event.deltaY], photo, room) })
    else {
      const factor = Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.002) * (event.deltaMode === 1 ? 20 : 1))
      useDesk.setState({ view: zoomAt(viewNow(), factor, at(event), photo, room) })
    }
  }

  const key = (event: KeyboardEvent) => {
    if (event.key !== ' ') {
      if (event.type === 'keydown' && isForDesk(event, element) && deskKey(event)) event.preventDefault()
      return
    }
    // On a plate the space bar presses the plate.
    const own = event.target === element
    space = own && event.type === 'keydown'
    element.classList.toggle('panning', space)
    if (own) event.preventDefault()
  }

  element.addEventListener('pointerdown', down)
  element.addEventListener('pointermove', move)
  element.addEventListener('pointerup', up)
  element.addEventListener('pointercancel', cancel)
  element.addEventListener('wheel', wheel, { passive: false })
  element.addEventListener('keydown', key)
  element.addEventListener('keyup', key)
  document.addEventListener('keydown', keyOfNobody)
  return () => {
    element.removeEventListener('pointerdown', down)
    element.removeEventListener('pointermove', move)
    element.removeEventListener('pointerup', up)
    element.removeEventListener('pointercancel', cancel)
    element.removeEventListener('wheel', wheel)
    element.removeEventListener('keydown', key)
    element.removeEventListener('keyup', key)
    document.removeEventListener('keydown', keyOfNobody)
  }
}

/** Keys that nothing else has the focus for are meant for the photo. */
function keyOfNobody(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.target !== document.body) return
  if (document.querySelector('dialog[open], [role=dialog]')) return
  if (event.key !== ' ' && deskKey(event)) event.preventDefault()
}

/** On a plate, Enter presses the plate; a cut has arrow keys of its own. */
function isForDesk(event: KeyboardEvent, stage: HTMLElement): boolean {
  if (event.target === stage) return true
  return event.key !== 'Enter' && !(event.target instanceof Element && event.target.closest('[role=slider]'))
}

/** What a pointer takes hold of. */
function begin(screen: Point, view: View, by: string): Drag {
  const { marks, chosen, tool } = useDesk.getState()
  const point = toPhoto(view, screen)
  if (tool) return { what: 'draw', start: screen }
  const reach = reachPx / view.scale
  // a finger is as broad on a mark that is not chosen yet
  const hit = hitAt(marks, chosen?.key ?? null, point, reach, by === 'touch' ? reach : reach / 2)
  const tag = `drag ${++drags}`
  switch (hit?.what) {
    case 'handle': {
      const [x, y] = handlesOf(marks, hit.key)[hit.handle]!
      chooseMark({ key: hit.key, handle: hit.handle, band: chosen?.key === hit.key ? chosen.band : 0 })
      prepareSnapping()
      return { what: 'handle', key: hit.key, handle: hit.handle, off: [x - point[0], y - point[1]], tag }
    }
    case 'cut':
      chooseMark({ key: hit.key, handle: null, band: hit.cut + 1 })
      return { what: 'cut', key: hit.key, cut: hit.cut, tag }
    case 'inside':
      chooseMark({ key: hit.key, handle: null, band: bandAt(marks, hit.key, point) })
      return { what: 'move', key: hit.key, start: screen, last: point, moved: false, tag }
    case undefined:
      chooseMark(null)
      return { what: 'pan', last: screen }
  }
}

function follow(drag: Drag, screen: Point, view: View, free: boolean): Drag {
  const desk = useDesk.getState()
  const { marks, photo, room, view: zoomed, snaps } = desk
  const point = toPhoto(view, screen)
  switch (drag.what) {
    case 'pan': {
      const by: Point = [screen[0] - drag.last[0], screen[1] - drag.last[1]]
      if (zoomed) useDesk.setState({ view: panBy(zoomed, by, photo!, room) })
      return { ...drag, last: screen }
    }
    case 'draw':
      if (far(drag.start, screen)) useDesk.setState({ drawing: { from: toPhoto(view, drag.start), to: point } })
      return drag
    case 'handle': {
      const to: Point = [point[0] + drag.off[0], point[1] + drag.off[1]]
      const edge = snaps && !free ? snapped(desk, drag.key, drag.handle, to, view.scale) : null
      changeMarks(moveHandle(marks, drag.key, drag.handle, edge ?? to, photo!), drag.tag)
      useDesk.setState({ snapped: edge !== null })
      return drag
    }
    case 'cut': {
      const to = cutAt(marks, drag.key, point)
      if (to !== null) changeMarks(moveCut(marks, drag.key, drag.cut, to), drag.tag)
      return drag
    }
    case 'move': {
      if (!drag.moved && !far(drag.start, screen)) return drag
      changeMarks(moveWhole(marks, drag.key, [point[0] - drag.last[0], point[1] - drag.last[1]], photo!), drag.tag)
      return { ...drag, last: point, moved: true }
    }
  }
}

const far = (a: Point, b: Point) => Math.hypot(a[0] - b[0], a[1] - b[1]) > slackPx

/** Two fingers: what lies between them stays between them. */
function pinch(fingers: Map<number, Point>, moved: number, before: Point, view: View): void {
  const { photo, room } = useDesk.getState()
  const other = [...fingers].find(([id]) => id !== moved)![1]
  const now = fingers.get(moved)!
  const spread = (p: Point) => Math.max(Math.hypot(p[0] - other[0], p[1] - other[1]), 1)
  const middle = (p: Point): Point => [(p[0] + other[0]) / 2, (p[1] + other[1]) / 2]
  const zoomed = zoomAt(view, spread(now) / spread(before), middle(before), photo!, room)
  const [from, to] = [middle(before), middle(now)]
  useDesk.setState({ view: zoomed && panBy(zoomed, [to[0] - from[0], to[1] - from[1]], photo!, room) })
}

/** A drag draws from corner to corner; a click sets one corner of four. */
function endDrawing(start: Point, end: Point, view: View): void {
  const desk = useDesk.getState()
  if (!desk.tool || !desk.photo) return
  const point = toPhoto(view, end)
  if (far(start, end)) drawn(desk, { from: toPhoto(view, start), to: point })
  else drawn(desk, { corner: point })
}
