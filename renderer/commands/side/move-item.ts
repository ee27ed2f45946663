import { chosenPlace, movePlace, sideRoute, useSide } from '../../state/side.ts'
import type { Command } from '../command.ts'
import { type Arrow, wayOf } from './walk.ts'

const move = (arrow: Arrow, word: string): Command => ({
  id: `side.move${arrow}`,
  place: 'side',
  label: () => `Move ${word}`,
  shortcut: `Shift+${arrow}`,
  missing() {
    const way = wayOf(arrow)
    if (way === null || useSide.getState().blink) return 'There is nothing to change places with.'
    const to = chosenPlace() + way
    return to >= 0 && to < (sideRoute()?.items.length ?? 0) ? null : `Nothing lies further ${word}.`
  },
  run() {
    const way = wayOf(arrow)
    if (way !== null) movePlace(way)
  },
  undo: 'none',
})

/** The chosen one changes places with its neighbour. */
export const moves = {
  right: move('ArrowRight', 'right'),
  left: move('ArrowLeft', 'left'),
  down: move('ArrowDown', 'down'),
  up: move('ArrowUp', 'up'),
}
