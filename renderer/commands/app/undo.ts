import { act, refreshRack } from '../../state/asking.ts'
import type { Command } from '../command.ts'

export const undo: Command = {
  id: 'app.undo',
  place: 'any',
  label: (state) => (state.rack?.undo ? `Undo ${state.rack.undo}` : 'Undo'),
  shortcut: 'Mod+z',
  missing: (state) => (state.rack?.undo ? null : 'Nothing to undo.'),
  async run(state) {
    const done = await act('history.undo', {})
    if (!done) return
    await refreshRack()
    state.say(`Undone: ${done.label}.`)
  },
  undo: 'recorded',
}
