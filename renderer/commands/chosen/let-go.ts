import type { Command } from '../command.ts'

/** Lets go of what is chosen, and of choosing. */
export const letGo: Command = {
  id: 'chosen.letGo',
  place: 'rack',
  label: (state) => (state.chosen.length > 1 ? 'Let go of all' : state.chosen.length === 1 ? 'Let go' : 'Done'),
  shortcut: 'Escape',
  missing: (state) => (state.chosen.length > 0 || state.choosing ? null : 'Nothing is chosen.'),
  run: (state) => state.setView({ chosen: [], choosing: false }),
  undo: 'none',
}
