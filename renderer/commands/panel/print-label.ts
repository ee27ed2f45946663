import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const printLabel: Command = {
  id: 'panel.printLabel',
  place: 'panel',
  label: () => 'Print',
  shortcut: 'Mod+p',
  missing: (state) => (shownPanel(state) ? null : notShown),
  run(state) {
    const shown = shownPanel(state)
    if (shown) state.setView({ printing: { kind: 'label', panelIds: [shown.panel.id] } })
  },
  undo: 'none',
}
