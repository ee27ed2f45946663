import { useSide } from '../../state/side.ts'
import type { Command } from '../command.ts'

/** Changes the two by hand; they then stay until somebody lets them go on. Space does it, while the paint has the focus. */
export const showOther: Command = {
  id: 'side.showOther',
  place: 'side',
  label: () => 'Show the other',
  shortcut: 'x',
  missing: () => (useSide.getState().blink ? null : 'Nothing blinks.'),
  run: () =>
    useSide.setState(({ blink }) => ({
      blink: blink && { held: true, sees: blink.sees === 'chosen' ? 'other' : 'chosen' },
    })),
  undo: 'none',
}
