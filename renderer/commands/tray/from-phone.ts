import { showPhone } from '../../state/phone.ts'
import type { Command } from '../command.ts'

/** Pictures from a phone of the same network. */
export const fromPhone: Command = {
  id: 'tray.fromPhone',
  place: 'tray',
  label: () => 'From a phone',
  shortcut: null,
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: showPhone,
  undo: 'none',
  leadsToChange: true,
}
