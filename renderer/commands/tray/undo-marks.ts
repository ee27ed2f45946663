import { redoMarks as redoOnDesk, undoMarks as undoOnDesk, useDesk } from '../../screens/tray/desk-state.ts'
import { redo } from '../app/redo.ts'
import { undo } from '../app/undo.ts'
import type { Command } from '../command.ts'

/** Marks that are not filed yet are taken back first; without any, the last change of the rack is. */
export const undoMarks: Command = {
  id: 'tray.undoMarks',
  place: 'tray',
  label: (state) => (useDesk.getState().past.length > 0 ? 'Undo marking' : undo.label(state)),
  shortcut: 'Mod+z',
  missing: (state) => (useDesk.getState().past.length > 0 ? null : undo.missing(state)),
  run: (state) => (useDesk.getState().past.length > 0 ? undoOnDesk() : undo.run(state)),
  undo: 'none',
  leadsToChange: true,
}

export const redoMarks: Command = {
  id: 'tray.redoMarks',
  place: 'tray',
  label: (state) => (useDesk.getState().future.length > 0 ? 'Redo marking' : redo.label(state)),
  shortcut: 'Mod+Shift+z',
  missing: (state) => (useDesk.getState().future.length > 0 ? null : redo.missing(state)),
  run: (state) => (useDesk.getState().future.length > 0 ? redoOnDesk() : redo.run(state)),
  undo: 'none',
  leadsToChange: true,
}
