import { goToPhoto, neighbour } from '../../screens/tray/desk-actions.ts'
import { useDesk } from '../../screens/tray/desk-state.ts'
import type { Command } from '../command.ts'

const walk = (id: string, label: string, shortcut: string, way: 1 | -1): Command => ({
  id,
  place: 'tray',
  label: () => label,
  shortcut,
  missing: () => (neighbour(useDesk.getState(), way) === null ? 'No other photo waits.' : null),
  run: () => goToPhoto(neighbour(useDesk.getState(), way)),
  undo: 'none',
})

export const nextPhoto = walk('tray.nextPhoto', 'Next photo', 'PageDown', 1)
export const previousPhoto = walk('tray.previousPhoto', 'Photo before', 'PageUp', -1)
