import { neverSprayedId, useMatch, walkInto } from '../../screens/match/match-state.ts'
import type { Command } from '../command.ts'

export const toNeverSprayed: Command = {
  id: 'match.toNeverSprayed',
  place: 'match',
  label: () => (useMatch.getState().predicted === null ? 'Walk to them' : 'Back to the sprayed'),
  shortcut: 'n',
  missing: () => (useMatch.getState().offered === 0 ? 'Nothing is predicted for this colour yet.' : null),
  run() {
    if (useMatch.getState().predicted === null) {
      // as many of them as there is room for, not just the first
      if (walkInto('predicted')) document.getElementById(neverSprayedId)?.scrollIntoView?.({ block: 'start' })
    } else if (!walkInto('sprayed')) useMatch.setState({ predicted: null })
  },
  undo: 'none',
}
