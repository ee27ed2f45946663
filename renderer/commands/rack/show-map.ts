import type { Command } from '../command.ts'

/** The same panels in their other form. */
export const showMap: Command = {
  id: 'rack.showMap',
  place: 'rack',
  label: (state) => (state.rackView === 'map' ? 'Wall' : 'Colour map'),
  shortcut: 'm',
  missing: (state) => ((state.rack?.panelCount ?? 0) > 0 ? null : 'The rack has no panels yet.'),
  run: ({ rackView, setView }) => setView({ rackView: rackView === 'map' ? 'wall' : 'map' }),
  undo: 'none',
}
