import { openSheet } from '../../state/plan-dialog.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

/** The paper to spray a planned panel from; the other planned panels can be ticked there. */
export const printPanelSprayList: Command = {
  id: 'panel.printSprayList',
  place: 'panel',
  label: () => 'Print a spray list',
  shortcut: 'Mod+Shift+p',
  missing(state) {
    const shown = shownPanel(state)
    if (!shown) return notShown
    return shown.panel.status === 'planned' ? null : 'It was sprayed already: spray lists are of planned panels.'
  },
  run: () => openSheet('spray-list'),
  undo: 'none',
}
