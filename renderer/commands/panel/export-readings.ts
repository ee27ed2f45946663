import { useInstrument } from '../../screens/instrument/instrument-state.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const exportPanelReadings: Command = {
  id: 'panel.exportReadings',
  place: 'panel',
  label: () => 'Export readings',
  shortcut: null,
  missing(state) {
    const shown = shownPanel(state)
    if (!shown) return notShown
    return shown.readings.length > 0 ? null : 'This panel has no reading yet.'
  },
  run(state) {
    const panel = shownPanel(state)?.panel
    if (panel) useInstrument.setState({ exporting: { of: { kind: 'panels', panelIds: [panel.id] }, what: panel.code } })
  },
  undo: 'none',
}
