import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { shownCup } from './shown-cup.ts'

export const throwAway: Command = {
  id: 'mix.throwAway',
  place: 'mix',
  label: () => 'Throw away',
  shortcut: null,
  missing(state) {
    const shown = shownCup(state)
    if (!shown) return 'Open a cup first.'
    return shown.cup.status === 'thrown-away' ? 'It is thrown away already.' : null
  },
  async run(state) {
    const cup = shownCup(state)?.cup
    if (!cup || !(await act('cups.throwAway', { cupId: cup.id }))) return
    go({ at: 'mix', cupId: null, from: null }, 'replace')
    state.say(`${cup.code} thrown away.`, 'Undo brings it back.')
  },
  undo: 'recorded',
}
