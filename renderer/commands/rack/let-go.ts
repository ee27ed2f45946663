import type { Command } from '../command.ts'

export const letGo: Command = {
  id: 'rack.letGo',
  place: 'rack',
  label: (state) => (state.chosen.length > 1 ? 'Let go of all' : 'Let go'),
  shortcut: 'Escape',
  missing: (state) => (state.chosen.length > 0 ? null : 'Nothing is chosen.'),
  run: (state) => state.setView({ chosen: [] }),
  undo: 'none',
}
