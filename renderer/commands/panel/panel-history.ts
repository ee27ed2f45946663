import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const panelHistory: Command = {
  id: 'panel.history',
  place: 'panel',
  label: () => 'History',
  shortcut: 'h',
  missing: (state) => (shownPanel(state) ? null : notShown),
  run(state) {
    const shown = shownPanel(state)
    if (shown) go({ at: 'care', page: 'history', panelId: shown.panel.id })
  },
  undo: 'none',
}
