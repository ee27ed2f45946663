import type { Command } from '../command.ts'
import { changeChosen, missingForChange } from './change-many.ts'

/** A retired panel stays on the wall and in searches, and says so: it faded, was sanded, or is lost. */
export const retireChosen: Command = {
  id: 'chosen.retire',
  place: 'rack',
  label: () => 'Retire',
  shortcut: null,
  missing: missingForChange,
  async run(state) {
    await changeChosen(state, { retire: true }, (panels) => `${panels} retired; they keep their place and say so.`)
  },
  undo: 'recorded',
}
