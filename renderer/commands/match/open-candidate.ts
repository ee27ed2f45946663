import { sprayedCode } from '../../screens/match/match-state.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const openCandidate: Command = {
  id: 'match.openCandidate',
  place: 'match',
  label: () => `Open ${sprayedCode() ?? 'panel'}`,
  /** Enter, while the list has the focus. */
  shortcut: null,
  missing: () => (sprayedCode() === null ? 'Choose a sprayed candidate first.' : null),
  run() {
    const code = sprayedCode()
    if (code !== null) go({ at: 'panel', key: code })
  },
  undo: 'none',
}
