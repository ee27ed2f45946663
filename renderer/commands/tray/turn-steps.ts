import { changeMarks, useDesk } from '../../screens/tray/desk-state.ts'
import type { Marks } from '../../screens/tray/marks.ts'
import { setBands, turnedRound } from '../../screens/tray/step-marks.ts'
import type { Command } from '../command.ts'

/** The panel whose steps are meant: the one that is worked on, or the only one there is. */
function stepped(): { marks: Marks; key: number } | null {
  const { marks, chosen } = useDesk.getState()
  const isStepped = (key: number) => {
    const mark = marks.list[key]
    return mark?.kind === 'bands' && mark.stepIds.length > 1
  }
  const key =
    typeof chosen?.key === 'number' && isStepped(chosen.key) ? chosen.key : [...marks.list.keys()].find(isStepped)
  return key === undefined ? null : { marks, key }
}

/** The first step lies at the other end. */
export const turnSteps: Command = {
  id: 'tray.turnSteps',
  place: 'tray',
  label: () => 'Steps the other way round',
  shortcut: 'o',
  missing: () => (stepped() ? null : 'No panel with steps is marked.'),
  run() {
    const found = stepped()
    if (found) changeMarks(setBands(found.marks, found.key, turnedRound))
  },
  undo: 'none',
  leadsToChange: true,
}
