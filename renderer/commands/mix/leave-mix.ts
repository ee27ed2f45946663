import { goBack } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const leaveMix: Command = {
  id: 'mix.leave',
  place: 'mix',
  label: () => 'Back',
  shortcut: 'Escape',
  missing: ({ route }) =>
    route.at === 'mix' && (route.cupId !== null || route.from !== null) ? null : 'The cups are shown already.',
  run: () => goBack({ at: 'mix', cupId: null, from: null }),
  undo: 'none',
}
