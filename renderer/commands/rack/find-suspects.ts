import { looksByItself, useLookedThrough } from '../../state/suspects.ts'
import type { Command } from '../command.ts'

/** In a large rack only on demand: the film model then learns from thousands of readings. */
export const findSuspects: Command = {
  id: 'rack.findSuspects',
  place: 'rack',
  label: () => 'Look for what does not fit',
  shortcut: null,
  missing({ rack }) {
    if (!rack || rack.panelCount === 0) return 'There is no panel yet.'
    if (looksByItself(rack.panelCount)) return 'This rack is looked through by itself: “?” marks what does not fit.'
    return useLookedThrough.getState().folder === rack.folder ? 'It is being looked for: “?” will mark it.' : null
  },
  run({ rack, say }) {
    useLookedThrough.setState({ folder: rack?.folder ?? null })
    say(
      'Looking for readings that do not fit the rest.',
      'In a rack of this size it takes minutes; then “?” marks them.',
    )
  },
  undo: 'none',
}
