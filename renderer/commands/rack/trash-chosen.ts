import { act } from '../../state/asking.ts'
import type { Command } from '../command.ts'

/** Each panel is a change of its own, so that undo brings them back one by one. */
export const trashChosen: Command = {
  id: 'rack.trashChosen',
  place: 'rack',
  label: () => 'Move to trash',
  shortcut: 'Delete',
  missing: (state) => (state.chosen.length > 0 ? null : 'Choose a panel first.'),
  async run(state) {
    const left: string[] = []
    for (const panelId of state.chosen) if (!(await act('panels.remove', { panelId }))) left.push(panelId)
    const moved = state.chosen.length - left.length
    state.setView({ chosen: left })
    if (moved === 1) state.say('1 panel moved to the trash.', 'Undo brings it back.')
    if (moved > 1) state.say(`${moved} panels moved to the trash.`, 'Undo brings them back, the last one first.')
  },
  undo: 'recorded',
}
