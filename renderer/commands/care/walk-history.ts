import { chooseEntry, chosenEntry, historyRoute, usePast } from '../../state/past.ts'
import type { Command } from '../command.ts'

const noMore = 'There is no entry in that direction.'

const walk = (id: string, label: string, shortcut: string, by: 1 | -1): Command => ({
  id,
  place: 'care',
  label: () => label,
  shortcut,
  missing: (state) => {
    if (!historyRoute(state)) return 'The history is not open.'
    return neighbour(chosenEntry(state)?.id, by) === null ? noMore : null
  },
  run(state) {
    const next = neighbour(chosenEntry(state)?.id, by)
    if (next !== null) chooseEntry(next)
  },
  undo: 'none',
})

function neighbour(id: string | undefined, by: 1 | -1): string | null {
  const { entries } = usePast.getState()
  const at = entries.findIndex((entry) => entry.id === id)
  return entries[at + by]?.id ?? null
}

export const olderEntry = walk('history.older', 'The entry before', 'ArrowDown', 1)
export const newerEntry = walk('history.newer', 'The entry after', 'ArrowUp', -1)
