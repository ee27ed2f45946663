import { useDesk } from '../../screens/tray/desk-state.ts'
import { markAnotherPanel } from '../../screens/tray/proposing/another-panel.ts'
import type { Command } from '../command.ts'

/** A photo that is filed to one panel may show more. */
export const anotherPanel: Command = {
  id: 'tray.anotherPanel',
  place: 'tray',
  label: () => 'Another panel in this picture',
  shortcut: null,
  missing() {
    const { photo, lacking } = useDesk.getState()
    if (!photo?.filed) return 'File this panel first.'
    return lacking === photo.sha256 ? 'Its original is not there' : null
  },
  run: () => markAnotherPanel(),
  undo: 'none',
  leadsToChange: true,
}
