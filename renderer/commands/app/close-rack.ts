import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const closeRack: Command = {
  id: 'app.closeRack',
  place: 'any',
  label: () => 'Another rack',
  shortcut: null,
  missing: (state) => (state.rack ? null : 'No rack is open.'),
  async run() {
    if (await act('rack.close', {})) go({ at: 'rack' })
  },
  undo: 'none',
}
