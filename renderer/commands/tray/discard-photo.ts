import { discardPhoto as discard } from '../../screens/tray/desk-actions.ts'
import { useDesk } from '../../screens/tray/desk-state.ts'
import type { Command } from '../command.ts'

export const discardPhoto: Command = {
  id: 'tray.discardPhoto',
  place: 'tray',
  label: () => 'Discard photo',
  shortcut: 'Shift+Delete',
  missing: () => (useDesk.getState().photo ? null : 'No photo is open.'),
  run: () => discard(),
  undo: 'recorded',
}
