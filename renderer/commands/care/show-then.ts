import { historyRoute, usePast } from '../../state/past.ts'
import type { Command } from '../command.ts'

export const showThen: Command = {
  id: 'history.showThen',
  place: 'care',
  label: () => (usePast.getState().view === 'stood' ? 'Show what was changed' : 'Show how it stood'),
  shortcut: 'v',
  missing: (state) => (historyRoute(state)?.panelId ? null : 'Choose a panel’s history first.'),
  run: () => usePast.getState().set({ view: usePast.getState().view === 'stood' ? 'changed' : 'stood' }),
  undo: 'none',
}
