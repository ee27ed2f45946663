import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const newPanel: Command = {
  id: 'rack.newPanel',
  place: 'rack',
  label: () => 'New panel',
  shortcut: 'n',
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => go({ at: 'panel-form', key: null }),
  undo: 'none',
  leadsToChange: true,
}
