import { useInstrument } from '../../screens/instrument/instrument-state.ts'
import type { Command } from '../command.ts'

/** Of the panels chosen, or of all that the filter shows. */
export const exportReadings: Command = {
  id: 'rack.exportReadings',
  place: 'rack',
  label: () => 'Export readings',
  shortcut: null,
  missing: (state) => (state.rack && state.rack.panelCount > 0 ? null : 'There is no panel yet.'),
  run({ chosen, filter }) {
    const count = chosen.length === 1 ? '1 panel' : `${chosen.length} panels`
    useInstrument.setState({
      exporting:
        chosen.length > 0
          ? { of: { kind: 'panels', panelIds: chosen }, what: count }
          : { of: { kind: 'filter', filter }, what: 'the panels shown' },
    })
  },
  undo: 'none',
}
