import { sideItemOf } from '../../state/match-address.ts'
import { comparePins, letGoOfPins, pinsNow } from '../../state/pins.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'

/** What the pins are laid against: what is matched. */
const firstOf = ({ route }: State) => (route.at === 'match' ? sideItemOf(route.referenceId) : null)

export const comparePinned: Command = {
  id: 'match.comparePins',
  place: 'any',
  label: () => 'Compare side by side',
  shortcut: 'Shift+c',
  missing(state) {
    const count = pinsNow().length
    if (count === 0) return 'Nothing is pinned yet.'
    return count > 1 || firstOf(state) ? null : 'Pin one more to lay side by side.'
  },
  run: (state) => comparePins(firstOf(state)),
  undo: 'none',
}

export const letGoPins: Command = {
  id: 'match.letGoOfPins',
  place: 'any',
  label: () => 'Unpin all',
  shortcut: null,
  missing: () => (pinsNow().length > 0 ? null : 'Nothing is pinned yet.'),
  run: () => letGoOfPins(),
  undo: 'none',
}
