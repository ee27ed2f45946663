import { useInstrument } from '../../screens/instrument/instrument-state.ts'
import type { Command } from '../command.ts'

export const referenceFromInstrument: Command = {
  id: 'match.referenceFromInstrument',
  place: 'match',
  label: () => 'Take from an instrument',
  shortcut: 'i',
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => useInstrument.setState({ takingFor: { kind: 'reference' } }),
  undo: 'recorded',
}
