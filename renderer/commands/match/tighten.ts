import { openView, useMatch } from '../../screens/match/match-state.ts'
import { lastRung, rungAt } from '../../screens/match/narrowing/rungs.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'

const setRung = (rung: number): void => useMatch.setState({ rung, limit: openView.limit })
const noList = ({ route }: State): string | null =>
  route.at === 'match' && route.referenceId !== null ? null : 'Choose a reference first.'

/** One rung narrower. */
export const tighten: Command = {
  id: 'match.tighten',
  place: 'match',
  label: () => 'Tighten',
  shortcut: 't',
  missing: (state) =>
    noList(state) ?? (useMatch.getState().rung < lastRung ? null : `${rungAt(lastRung).words}: it goes no tighter.`),
  run: () => setRung(useMatch.getState().rung + 1),
  undo: 'none',
}

/** One rung wider. */
export const loosen: Command = {
  id: 'match.loosen',
  place: 'match',
  label: () => 'Loosen',
  shortcut: 'o',
  missing: (state) => noList(state) ?? (useMatch.getState().rung > 0 ? null : 'Everything is shown already.'),
  run: () => setRung(useMatch.getState().rung - 1),
  undo: 'none',
}

/** What the ladder hides is one press away. */
export const unhide: Command = {
  id: 'match.unhide',
  place: 'match',
  label: () => 'Show all',
  shortcut: 'Shift+o',
  missing: (state) => noList(state) ?? (useMatch.getState().rung > 0 ? null : 'Nothing is hidden.'),
  run: () => setRung(0),
  undo: 'none',
}
