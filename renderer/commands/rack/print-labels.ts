import type { Command } from '../command.ts'

export const printChosenLabels: Command = {
  id: 'rack.printLabels',
  place: 'rack',
  label: (state) => (state.chosen.length === 1 ? 'Print label' : 'Print labels'),
  shortcut: 'Mod+p',
  missing: (state) => (state.chosen.length > 0 ? null : 'Choose a panel first.'),
  run: (state) => state.setView({ labelsFor: state.chosen }),
  undo: 'none',
}
