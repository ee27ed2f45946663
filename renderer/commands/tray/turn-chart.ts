import { changeMarks, useDesk } from '../../screens/tray/desk-state.ts'
import { turnChart as turned } from '../../screens/tray/known-marks.ts'
import type { Command } from '../command.ts'

export const turnChart: Command = {
  id: 'tray.turnChart',
  place: 'tray',
  label: () => 'Turn the chart’s outline by a quarter',
  shortcut: null,
  missing: () => (useDesk.getState().marks.chart ? null : 'Mark the chart first.'),
  run: () => changeMarks(turned(useDesk.getState().marks)),
  undo: 'none',
  leadsToChange: true,
}
