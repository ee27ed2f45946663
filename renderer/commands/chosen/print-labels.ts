import type { Command } from '../command.ts'

export const printChosenLabels: Command = {
  id: 'chosen.print',
  place: 'rack',
  label: () => 'Print',
  shortcut: 'Mod+p',
  missing: (state) => (state.chosen.length > 0 ? null : 'Choose a panel first.'),
  run: (state) => state.setView({ printing: { kind: 'label', panelIds: state.chosen } }),
  undo: 'none',
}
