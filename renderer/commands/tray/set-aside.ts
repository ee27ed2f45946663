import { setAside as aside } from '../../screens/tray/desk-actions.ts'
import { useDesk } from '../../screens/tray/desk-state.ts'
import type { Command } from '../command.ts'

export const setAside: Command = {
  id: 'tray.setAside',
  place: 'tray',
  label: () => 'Later',
  shortcut: 'Shift+Enter',
  missing() {
    const { photo } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    return photo.filed ? 'This photo is filed already.' : null
  },
  run: () => aside(),
  undo: 'recorded',
}
