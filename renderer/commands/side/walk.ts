import { choosePlace, chosenPlace, nextBy, sideRoute } from '../../state/side.ts'
import type { Command } from '../command.ts'

export type Arrow = 'ArrowRight' | 'ArrowLeft' | 'ArrowDown' | 'ArrowUp'
const opposite: Record<Arrow, Arrow> = {
  ArrowRight: 'ArrowLeft',
  ArrowLeft: 'ArrowRight',
  ArrowDown: 'ArrowUp',
  ArrowUp: 'ArrowDown',
}

/** Where an arrow leads along the row as it is turned: 1 to the next, −1 to the one before; null across it. */
export function wayOf(arrow: Arrow): 1 | -1 | null {
  const route = sideRoute()
  if (!route || route.items.length < 2) return null
  const next = nextBy[route.how.turned]
  if (arrow === next) return 1
  return opposite[arrow] === next ? -1 : null
}

const walk = (arrow: Arrow, word: string): Command => ({
  id: `side.walk${arrow}`,
  place: 'side',
  label: () => `Choose the one ${word}`,
  shortcut: arrow,
  missing: () => (wayOf(arrow) === null ? 'There is nothing in that direction.' : null),
  run() {
    const way = wayOf(arrow)
    if (way !== null) choosePlace(chosenPlace() + way)
  },
  undo: 'none',
})

export const walks: readonly Command[] = [
  walk('ArrowRight', 'to the right'),
  walk('ArrowLeft', 'to the left'),
  walk('ArrowDown', 'below'),
  walk('ArrowUp', 'above'),
]
