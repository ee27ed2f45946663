import { pourNow } from '../../screens/mix/bench/pour.ts'
import type { Command } from '../command.ts'
import { focusHasOwnKeys, notPouring, shownCup } from './shown-cup.ts'

export const pourAsAsked: Command = {
  id: 'mix.pourAsAsked',
  place: 'mix',
  label: () => 'Poured. Next',
  shortcut: ' ',
  missing: (state) =>
    notPouring(state) ?? (focusHasOwnKeys() ? 'The button that has the focus takes the space bar.' : null),
  async run(state) {
    const shown = shownCup(state)
    if (shown) await pourNow(shown.cup, shown.materials)
  },
  undo: 'recorded',
}
