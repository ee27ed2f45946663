import { openNotebook } from '../../screens/notebook/notebook-state.ts'
import type { Command } from '../command.ts'

/** Panels from a notebook that was typed up as a table. */
export const takeNotebook: Command = {
  id: 'rack.takeNotebook',
  place: 'rack',
  label: () => 'Take in a notebook',
  shortcut: null,
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => openNotebook(null),
  undo: 'recorded',
}
