import { useSide, wantsLessMotion } from '../../state/side.ts'
import type { Command } from '../command.ts'

export const holdBlink: Command = {
  id: 'side.holdBlink',
  place: 'side',
  label: () => (useSide.getState().blink?.held ? 'Go on' : 'Hold'),
  shortcut: 'h',
  missing() {
    const { blink } = useSide.getState()
    if (!blink) return 'Nothing blinks.'
    return blink.held && wantsLessMotion() ? 'This computer asks for less motion: the two change by key only.' : null
  },
  run: () => useSide.setState(({ blink }) => ({ blink: blink && { ...blink, held: !blink.held } })),
  undo: 'none',
}
