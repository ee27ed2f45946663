import type { Command } from '../command.ts'

/** The page to lay a panel on for its photo. */
export const printPhotoSheet: Command = {
  id: 'tray.printPhotoSheet',
  place: 'tray',
  label: () => 'Print a photo sheet',
  shortcut: null,
  missing: () => null,
  run: (state) => state.setView({ printing: { kind: 'photo', panelIds: [] } }),
  undo: 'none',
}
