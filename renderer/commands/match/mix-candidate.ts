import { sprayedCode } from '../../screens/match/match-state.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const mixCandidate: Command = {
  id: 'match.mixCandidate',
  place: 'match',
  label: () => 'Mix this',
  shortcut: 'm',
  missing: () => (sprayedCode() === null ? 'Choose a sprayed candidate first.' : null),
  run() {
    const code = sprayedCode()
    if (code !== null) go({ at: 'mix', cupId: null, from: { kind: 'panel', key: code } })
  },
  undo: 'none',
}
