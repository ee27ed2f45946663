import type { Command } from '../command.ts'
import { changeChosen, missingForChange } from './change-many.ts'

export const trashChosen: Command = {
  id: 'chosen.trash',
  place: 'rack',
  label: () => 'Move to trash',
  shortcut: 'Delete',
  missing: missingForChange,
  async run(state) {
    await changeChosen(state, { trash: true }, (panels) => `${panels} moved to the trash.`)
  },
  undo: 'recorded',
}
