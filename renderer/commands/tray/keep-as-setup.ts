import { useDesk } from '../../screens/tray/desk-state.ts'
import { faultIn } from '../../screens/tray/marks.ts'
import type { Command } from '../command.ts'

/** Opens the sheet that asks for name and light; calibrating happens there. */
export const keepAsSetup: Command = {
  id: 'tray.keepAsSetup',
  place: 'tray',
  label: () => 'Keep as set-up…',
  shortcut: null,
  missing() {
    const { photo, marks, proposal } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    if (!marks.chart) return 'Mark the 24-patch chart first.'
    if (proposal) return 'Accept the proposed marks first.'
    return faultIn(marks)
  },
  run: () => useDesk.setState({ keepingSetup: true }),
  undo: 'recorded',
}
