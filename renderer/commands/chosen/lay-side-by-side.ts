import { laySideBySide } from '../../state/side.ts'
import type { Command } from '../command.ts'

/** Touching, on the neutral wall, in the order they were chosen. */
export const layChosenSideBySide: Command = {
  id: 'chosen.sideBySide',
  place: 'rack',
  label: () => 'Lay side by side',
  shortcut: 'b',
  missing: ({ chosen }) => (chosen.length < 2 || chosen.length > 6 ? 'Choose two to six panels.' : null),
  run: ({ chosen }) => laySideBySide(chosen.map((id) => ({ kind: 'panel', id }))),
  undo: 'none',
}
