import { historyRoute } from '../../state/past.ts'
import { goBack } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const leaveHistory: Command = {
  id: 'history.leave',
  place: 'care',
  label: () => 'Back',
  shortcut: 'Escape',
  missing: (state) => (historyRoute(state) ? null : 'The history is not open.'),
  run(state) {
    const panelId = historyRoute(state)?.panelId
    goBack(panelId ? { at: 'panel', key: panelId } : { at: 'settings' })
  },
  undo: 'none',
}
