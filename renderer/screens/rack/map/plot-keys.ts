import type { MapSteps, Run } from './geometry/steps.ts'
import { type Way, walk, walkRound } from './geometry/walk.ts'
import { moveRing, nextSlice, pan, showColour, sizeRing, zoomBy } from './map-acts.ts'
import { useMap } from './map-state.ts'

type Pressed = { key: string; shiftKey: boolean; altKey: boolean; ctrlKey: boolean; metaKey: boolean }
/** What keys on the map ask of it besides moving. */
export type Asked =
  | { do: 'look'; row: number }
  | { do: 'toggle' }
  | { do: 'take'; how: 'only' | 'add' | 'away' }
  | { do: 'open' }
  | { do: 'put-away' }

const ways: Readonly<Record<string, readonly [Way, number, number]>> = {
  ArrowLeft: ['left', -1, 0],
  ArrowRight: ['right', 1, 0],
  ArrowUp: ['up', 0, -1],
  ArrowDown: ['down', 0, 1],
}
const zoomStep = 1.4
const pixels = { pan: 80, ring: 16, ringFar: 64 }

/**
 * What a key does on the map. Without a ring arrows walk from step to step and Space chooses its panel; with one they move
 * it, Alt with them sizes it, and Space chooses what is inside (Shift adds, Backspace takes away).
 * @returns what is left for the plot to do, true where it is done, false where the key is not the map's
 */
export function pressKey(
  event: Pressed,
  steps: MapSteps,
  run: Run,
  at: number | null,
  start: () => number | null,
): Asked | boolean {
  if (event.ctrlKey || event.metaKey) return false
  const { ring } = useMap.getState()
  const way = ways[event.key]
  if (way) {
    const [name, dx, dy] = way
    if (ring && event.altKey) {
      if (dy !== 0) sizeRing(dy < 0 ? 1.2 : 1 / 1.2)
      return dy !== 0
    }
    if (event.altKey) return false
    if (ring) {
      const far = event.shiftKey ? pixels.ringFar : pixels.ring
      moveRing(dx * far, dy * far)
      return true
    }
    if (event.shiftKey) {
      pan(-dx * pixels.pan, -dy * pixels.pan)
      return true
    }
    const row = at === null ? start() : walk(steps, run, at, name)
    if (row === null) return true
    showColour(steps.a[row]!, steps.b[row]!)
    return { do: 'look', row }
  }
  switch (event.key) {
    case ' ':
      if (ring) return { do: 'take', how: event.shiftKey ? 'add' : 'only' }
      return { do: 'toggle' }
    case ',':
    case '.': {
      const row = at === null ? start() : walkRound(steps, run, at, event.key === '.' ? 1 : -1)
      if (row === null) return true
      showColour(steps.a[row]!, steps.b[row]!)
      return { do: 'look', row }
    }
    case 'Backspace':
      return ring ? { do: 'take', how: 'away' } : false
    case 'Enter':
      return { do: 'open' }
    case '+':
    case '=':
      zoomBy(zoomStep)
      return true
    case '-':
    case '−':
      zoomBy(1 / zoomStep)
      return true
    case '[':
    case ']':
      sizeRing(event.key === ']' ? 1.2 : 1 / 1.2)
      return ring !== null
    case 'PageUp':
    case 'PageDown':
      nextSlice(event.key === 'PageUp' ? 1 : -1)
      return true
    case 'Escape':
      if (ring) useMap.setState({ ring: null })
      else if (at !== null) return { do: 'put-away' }
      return ring !== null
    default:
      return false
  }
}
