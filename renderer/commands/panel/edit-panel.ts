import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const editPanel: Command = {
  id: 'panel.edit',
  place: 'panel',
  label: () => 'Edit',
  shortcut: 'e',
  missing: (state) => (shownPanel(state) ? null : notShown),
  run(state) {
    const shown = shownPanel(state)
    if (shown) go({ at: 'panel-form', key: shown.panel.code })
  },
  undo: 'none',
  leadsToChange: true,
}
