import type { Command } from '../command.ts'

export const printIndex: Command = {
  id: 'rack.printIndex',
  place: 'rack',
  label: () => 'Print index',
  shortcut: 'Mod+Shift+p',
  missing: (state) => ((state.rack?.panelCount ?? 0) > 0 ? null : 'The rack has no panels yet.'),
  run: (state) => state.setView({ printing: { kind: 'index', panelIds: state.chosen } }),
  undo: 'none',
}
