import type { Command } from '../command.ts'
import { changeChosen, missingForChange } from './change-many.ts'

export const useChosenAgain: Command = {
  id: 'chosen.useAgain',
  place: 'rack',
  label: () => 'Back to use',
  shortcut: null,
  missing: missingForChange,
  async run(state) {
    await changeChosen(state, { retire: false }, (panels) => `${panels} back in use.`)
  },
  undo: 'recorded',
}
