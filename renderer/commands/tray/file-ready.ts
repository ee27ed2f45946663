import { useDesk } from '../../screens/tray/desk-state.ts'
import { isFilingAll, overviewIn } from '../../screens/tray/pile/row-state.ts'
import type { Command } from '../command.ts'

/** Opens the list of all that are sure; filing them happens there. */
export const fileReady: Command = {
  id: 'tray.fileReady',
  place: 'tray',
  label(state) {
    if (isFilingAll(state)) return 'Filing them…'
    const count = overviewIn(state)?.ready.length ?? 0
    return count === 1 ? 'File 1 that is sure…' : `File ${count} that are sure…`
  },
  shortcut: 'f',
  missing(state) {
    if (isFilingAll(state)) return 'They are being filed.'
    return (overviewIn(state)?.ready.length ?? 0) > 0 ? null : 'No photo is sure enough to be filed unseen.'
  },
  run: () => useDesk.setState({ filingReady: true }),
  undo: 'recorded',
}
