import { fillAll, leaveFilled, sideRoute, useSide } from '../../state/side.ts'
import type { Command } from '../command.ts'

export const fillScreen: Command = {
  id: 'side.fillScreen',
  place: 'side',
  label: () => (useSide.getState().fills ? 'Leave full screen' : 'Fill the screen'),
  shortcut: 'f',
  missing: () => (sideRoute()?.items.length ? null : 'Nothing lies here yet.'),
  run: () => (useSide.getState().fills ? leaveFilled() : fillAll()),
  undo: 'none',
}
