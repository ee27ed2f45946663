import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const trashPanel: Command = {
  id: 'panel.trash',
  place: 'panel',
  label: () => 'Move to trash',
  shortcut: null,
  missing: (state) => (shownPanel(state) ? null : notShown),
  async run(state) {
    const panel = shownPanel(state)?.panel
    if (!panel || !(await act('panels.remove', { panelId: panel.id }))) return
    state.setView({ chosen: state.chosen.filter((id) => id !== panel.id) })
    go({ at: 'rack' }, 'replace')
    state.say(`${panel.code} moved to the trash.`, 'Undo brings it back.')
  },
  undo: 'recorded',
}
