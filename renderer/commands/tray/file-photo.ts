import { filePhoto as file, missingToFile } from '../../screens/tray/desk-actions.ts'
import { useDesk } from '../../screens/tray/desk-state.ts'
import type { Command } from '../command.ts'

export const filePhoto: Command = {
  id: 'tray.filePhoto',
  place: 'tray',
  label() {
    const desk = useDesk.getState()
    const missing = missingToFile(desk)
    if (missing) return missing
    return desk.aim === 'reference' ? 'File as reference' : `File to ${desk.panel!.code}`
  },
  shortcut: 'Mod+Enter',
  missing: () => missingToFile(useDesk.getState()),
  run: () => file(),
  undo: 'recorded',
}
