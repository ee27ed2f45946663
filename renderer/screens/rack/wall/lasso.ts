import { useStore } from '../../../state/store.ts'
import { chooseAlso, toggleChosen } from './arrange.ts'
import { boxBetween, hooksIn, type WallGeometry } from './geometry.ts'

/** A hand is not still: less than this is a press. */
const stillPx = 6
/** How long a finger or pen rests on a panel until it is chosen. */
const longPressMs = 500
/** Near the upper and lower edge the wall runs, faster the further out the hand is. */
const edgePx = 56
const slowest = 4
const fastest = 120

type Point = { x: number; y: number }
type Drag = {
  pointer: number
  touch: boolean
  /** Where it began, on the wall, and where the hand is now, in the window. */
  start: Point
  hand: Point
  mode: 'pressed' | 'held' | 'frame'
  /** What was chosen before, and what stays chosen beside the frame. */
  before: string[]
  base: string[]
  wait: ReturnType<typeof setTimeout> | undefined
  seen: string
}

export type Lasso = {
  /** Whether the press that just ended was none; asked by the click that follows. */
  wasDragged(): boolean
  end(): void
}

/**
 * Dragging a frame over the wall chooses what it touches, by where panels hang and not by what is in the page: it may be
 * dragged over thousands. A mouse drags at once; finger and pen after a rest on a panel, or sideways. With Shift or Ctrl,
 * and while choosing, what was chosen stays. Escape takes the frame back.
 * @param frame  what is drawn, inside of what scrolls
 */
export function watchLasso(
  scroller: HTMLElement,
  frame: HTMLElement,
  now: () => { wall: WallGeometry | null; ids: readonly string[] },
): Lasso {
  let drag: Drag | null = null
  let spent = false
  let running = 0

  const onWall = ({ x, y }: Point): Point => {
    const { left, top } = scroller.getBoundingClientRect()
    return { x: x - left, y: y - top + scroller.scrollTop }
  }

  function draw(): void {
    const { wall, ids } = now()
    if (!drag || !wall) return
    const box = boxBetween(drag.start, onWall(drag.hand))
    const [left, top] = [Math.max(4, box.left), Math.max(0, box.top)]
    frame.hidden = false
    frame.style.transform = `translate(${left}px, ${top}px)`
    frame.style.width = `${Math.max(0, Math.min(box.right, scroller.clientWidth - 4) - left)}px`
    frame.style.height = `${Math.max(0, box.bottom - top)}px`
    const hooks = hooksIn(box, wall)
    const seen = `${hooks[0]} ${hooks.at(-1)} ${hooks.length}`
    if (seen === drag.seen) return
    drag.seen = seen
    const touched = hooks.map((index) => ids[index]!)
    useStore.getState().setView({ chosen: chooseAlso(drag.base, touched) })
  }

  /** The wall runs while the hand is at its edge. */
  function run(): void {
    if (drag?.mode !== 'frame') return
    const { top, bottom } = scroller.getBoundingClientRect()
    const out = Math.max(top + edgePx - drag.hand.y, drag.hand.y - (bottom - edgePx), 0)
    if (out > 0) {
      const step = Math.min(fastest, slowest + (out / edgePx) ** 2 * 16)
      scroller.scrollTop += drag.hand.y < (top + bottom) / 2 ? -step : step
      draw()
    }
    running = requestAnimationFrame(run)
  }

  function end(back: boolean): void {
    const ended = drag
    drag = null
    cancelAnimationFrame(running)
    frame.hidden = true
    if (!ended) return
    clearTimeout(ended.wait)
    if (back && ended.mode === 'frame') useStore.getState().setView({ chosen: ended.before })
    spent = ended.mode !== 'pressed'
    // a click follows at once, or none does
    setTimeout(() => {
      spent = false
    }, 50)
  }

  function onDown(event: PointerEvent): void {
    const target = event.target as Element
    const overBar = event.clientX > scroller.getBoundingClientRect().left + scroller.clientWidth
    if (event.button !== 0 || !event.isPrimary || overBar || target.closest('button')) return
    const touch = event.pointerType !== 'mouse'
    const hand = { x: event.clientX, y: event.clientY }
    const panel = target.closest<HTMLElement>('[data-panel]')?.dataset.panel
    const hold = () => {
      const { chosen, setView } = useStore.getState()
      setView({ choosing: true, chosen: toggleChosen(chosen, panel!) })
      if (drag) drag.mode = 'held'
    }
    drag = {
      pointer: event.pointerId,
      touch,
      start: onWall(hand),
      hand,
      mode: 'pressed',
      before: [],
      base: [],
      wait: touch && panel ? setTimeout(hold, longPressMs) : undefined,
      seen: '',
    }
  }

  function begin(begun: Drag, event: PointerEvent): void {
    const { chosen, choosing } = useStore.getState()
    clearTimeout(begun.wait)
    const beside = choosing || begun.mode === 'held' || event.shiftKey || event.ctrlKey || event.metaKey
    begun.before = chosen
    begun.base = beside ? chosen : []
    begun.mode = 'frame'
    scroller.setPointerCapture(event.pointerId)
    running = requestAnimationFrame(run)
  }

  function onMove(event: PointerEvent): void {
    if (drag?.pointer !== event.pointerId) return
    const across = Math.abs(event.clientX - drag.hand.x)
    const along = Math.abs(event.clientY - drag.hand.y)
    if (drag.mode !== 'frame') {
      if (Math.hypot(across, along) < stillPx) return
      // up and down, finger and pen scroll
      if (drag.touch && drag.mode === 'pressed' && across < along) return end(false)
      begin(drag, event)
    }
    drag.hand = { x: event.clientX, y: event.clientY }
    draw()
  }

  function onLift(event: PointerEvent): void {
    if (drag?.pointer === event.pointerId) end(event.type === 'pointercancel')
  }

  function onKey(event: KeyboardEvent): void {
    if (event.key !== 'Escape' || drag?.mode !== 'frame') return
    event.preventDefault()
    event.stopPropagation()
    end(true)
  }

  /** A frame that a finger drags does not scroll the wall as well. */
  function onTouch(event: TouchEvent): void {
    if (drag && drag.mode !== 'pressed' && event.cancelable) event.preventDefault()
  }

  /** A finger that rests asks for no menu. */
  function onMenu(event: Event): void {
    if (drag && drag.mode !== 'pressed') event.preventDefault()
  }

  scroller.addEventListener('pointerdown', onDown)
  scroller.addEventListener('pointermove', onMove)
  scroller.addEventListener('pointerup', onLift)
  scroller.addEventListener('pointercancel', onLift)
  scroller.addEventListener('contextmenu', onMenu)
  scroller.addEventListener('touchmove', onTouch, { passive: false })
  addEventListener('keydown', onKey, true)
  return {
    wasDragged: () => {
      const was = spent
      spent = false
      return was
    },
    end: () => {
      end(false)
      scroller.removeEventListener('pointerdown', onDown)
      scroller.removeEventListener('pointermove', onMove)
      scroller.removeEventListener('pointerup', onLift)
      scroller.removeEventListener('pointercancel', onLift)
      scroller.removeEventListener('contextmenu', onMenu)
      scroller.removeEventListener('touchmove', onTouch)
      removeEventListener('keydown', onKey, true)
    },
  }
}
