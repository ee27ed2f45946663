import { useMatch } from '../../screens/match/match-state.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const openCandidate: Command = {
  id: 'match.openCandidate',
  place: 'match',
  label: () => `Open ${useMatch.getState().code ?? 'panel'}`,
  /** Enter, while the list has the focus. */
  shortcut: null,
  missing: () => (useMatch.getState().code === null ? 'Choose a candidate first.' : null),
  run() {
    const { code } = useMatch.getState()
    if (code !== null) go({ at: 'panel', key: code })
  },
  undo: 'none',
}
