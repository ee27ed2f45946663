import { useDesk } from '../../screens/tray/desk-state.ts'
import { withdrawPanel } from '../../screens/tray/proposing/said.ts'
import type { Command } from '../command.ts'

/** The field for the panel's code takes the keys; Enter there takes the first that is found and gives them back. */
export const findPanel: Command = {
  id: 'tray.findPanel',
  place: 'tray',
  label: () => (useDesk.getState().panel ? 'Another panel' : 'Say which panel this is'),
  shortcut: '/',
  missing() {
    const { photo, aim } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    return aim === 'panel' ? null : 'A reference belongs to no panel.'
  },
  run() {
    const { panel } = useDesk.getState()
    useDesk.setState({ findsPanel: true, panelBefore: panel })
    withdrawPanel()
  },
  undo: 'none',
  leadsToChange: true,
}
