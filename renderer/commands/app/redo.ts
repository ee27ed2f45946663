import { act, refreshRack } from '../../state/asking.ts'
import type { Command } from '../command.ts'

export const redo: Command = {
  id: 'app.redo',
  place: 'any',
  label: (state) => (state.rack?.redo ? `Redo ${state.rack.redo}` : 'Redo'),
  shortcut: 'Mod+Shift+z',
  missing: (state) => (state.rack?.redo ? null : 'Nothing to redo.'),
  async run(state) {
    const done = await act('history.redo', {})
    if (!done) return
    await refreshRack()
    state.say(`Done again: ${done.label}.`)
  },
  undo: 'recorded',
}
