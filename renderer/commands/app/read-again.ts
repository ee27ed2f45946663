import { act, refreshRack } from '../../state/asking.ts'
import type { Command } from '../command.ts'

/** Takes the records of a rack that is only looked at anew. */
export const readAgain: Command = {
  id: 'app.readAgain',
  place: 'any',
  label: () => 'Read again',
  shortcut: null,
  missing: (state) => (state.rack?.access.mode === 'reading' ? null : 'This rack is open with full rights.'),
  async run(state) {
    if (!(await act('rack.readAgain', {}))) return
    await refreshRack()
    state.say('Read again: what is shown is as it is now.')
  },
  undo: 'none',
}
