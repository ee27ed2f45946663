import { useMatch } from '../../screens/match/match-state.ts'
import { isAmong, pinsNow, togglePin } from '../../state/pins.ts'
import type { Command } from '../command.ts'

export const pinCandidate: Command = {
  id: 'match.pinCandidate',
  place: 'match',
  label() {
    const { pin } = useMatch.getState()
    return pin !== null && isAmong(pinsNow(), pin.item) ? 'Take its pin out' : 'Pin'
  },
  /** Space, while the list has the focus. */
  shortcut: null,
  missing: () => {
    const { pin, predicted } = useMatch.getState()
    return pin === null || predicted !== null ? 'Choose a sprayed candidate first.' : null
  },
  run() {
    const { pin } = useMatch.getState()
    if (pin !== null) togglePin(pin)
  },
  undo: 'none',
}
