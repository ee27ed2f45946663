import { act } from '../../state/asking.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'

const isRunning = (state: State): boolean =>
  Object.values(state.jobs).some(({ kind, state: how }) => kind === 'backup' && how === 'running')

/** A proven copy of the records now, and whatever lacks in the second place. */
export const backUpNow: Command = {
  id: 'care.backUpNow',
  place: 'care',
  label: () => 'Back up now',
  shortcut: 'b',
  missing: (state) => {
    if (!state.rack) return 'No rack is open.'
    if (state.rack.access.mode === 'reading')
      return 'This rack is only looked at: its backups are made where it is worked on.'
    return isRunning(state) ? 'A backup is being made.' : null
  },
  async run() {
    await act('backups.make', {})
  },
  undo: 'none',
}
