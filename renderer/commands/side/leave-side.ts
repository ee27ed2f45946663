import { goBack } from '../../state/router.ts'
import { leaveFilled, useSide } from '../../state/side.ts'
import type { Command } from '../command.ts'

/** One thing after the other: blinking ends, then the full screen, then the place. */
export const leaveSide: Command = {
  id: 'side.leave',
  place: 'side',
  label: () => 'Back',
  shortcut: 'Escape',
  missing: () => null,
  run() {
    const { blink, fills } = useSide.getState()
    if (blink) useSide.setState({ blink: null })
    else if (fills) leaveFilled()
    else goBack({ at: 'match', referenceId: null })
  },
  undo: 'none',
}
