import { acceptProposal, useDesk } from '../../screens/tray/desk-state.ts'
import { faultIn } from '../../screens/tray/marks.ts'
import { isChartAlone } from '../../screens/tray/proposing/found.ts'
import type { Command } from '../command.ts'

/** Opens the sheet that asks for name and light; calibrating happens there. */
export const keepAsSetup: Command = {
  id: 'tray.keepAsSetup',
  place: 'tray',
  label: () => (isChartAlone(useDesk.getState()) ? 'Keep it as a set-up…' : 'Keep as set-up…'),
  shortcut: null,
  missing() {
    const desk = useDesk.getState()
    const { photo, marks, proposal } = desk
    if (!photo) return 'No photo is open.'
    if (!marks.chart) return 'Mark the 24-patch chart first.'
    if (proposal && !isChartAlone(desk)) return 'Accept the proposed marks first.'
    return faultIn(marks)
  },
  run() {
    // whoever keeps the chart has taken it as it is drawn
    acceptProposal()
    useDesk.setState({ keepingSetup: true })
  },
  undo: 'recorded',
}
