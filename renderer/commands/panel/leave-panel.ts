import { goBack } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const leavePanel: Command = {
  id: 'panel.leave',
  place: 'panel',
  label: () => 'Back',
  shortcut: 'Escape',
  missing: () => null,
  run: () => goBack({ at: 'rack' }),
  undo: 'none',
}
