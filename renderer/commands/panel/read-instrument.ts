import { useInstrument } from '../../screens/instrument/instrument-state.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const readInstrument: Command = {
  id: 'panel.readInstrument',
  place: 'panel',
  label: () => 'Take from an instrument',
  shortcut: 'i',
  missing: (state) => (shownPanel(state) ? null : notShown),
  run(state) {
    const shown = shownPanel(state)
    if (shown) useInstrument.setState({ takingFor: { kind: 'panel', key: shown.panel.id } })
  },
  undo: 'recorded',
}
