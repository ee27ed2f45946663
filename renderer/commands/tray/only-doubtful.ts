import { useDesk } from '../../screens/tray/desk-state.ts'
import { overviewIn } from '../../screens/tray/pile/row-state.ts'
import type { Command } from '../command.ts'

/** The pile shows those alone that somebody has to look at. */
export const onlyDoubtful: Command = {
  id: 'tray.onlyDoubtful',
  place: 'tray',
  label: () => (useDesk.getState().onlyDoubtful ? 'Show all photos' : 'Show the doubtful alone'),
  shortcut: 'd',
  missing(state) {
    if (useDesk.getState().onlyDoubtful) return null
    return (overviewIn(state)?.doubtful.length ?? 0) > 0 ? null : 'No photo is doubtful.'
  },
  run: () => useDesk.setState((s) => ({ onlyDoubtful: !s.onlyDoubtful })),
  undo: 'none',
}
