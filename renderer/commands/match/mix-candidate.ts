import { useMatch } from '../../screens/match/match-state.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const mixCandidate: Command = {
  id: 'match.mixCandidate',
  place: 'match',
  label: () => 'Mix this',
  shortcut: 'm',
  missing: () => (useMatch.getState().code === null ? 'Choose a candidate first.' : null),
  run() {
    const { code } = useMatch.getState()
    if (code !== null) go({ at: 'mix', cupId: null, from: { kind: 'panel', key: code } })
  },
  undo: 'none',
}
