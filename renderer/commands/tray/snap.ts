import { useDesk } from '../../screens/tray/desk-state.ts'
import type { Command } from '../command.ts'

/** Whether corners are drawn to edges that lie near; holding Alt leaves them where they are put. */
export const snapCorners: Command = {
  id: 'tray.snapCorners',
  place: 'tray',
  label: () => 'To edges',
  shortcut: 's',
  missing: () => (useDesk.getState().photo ? null : 'No photo is open.'),
  run: () => useDesk.setState(({ snaps }) => ({ snaps: !snaps, snapped: false })),
  undo: 'none',
}
