import { go } from '../../state/router.ts'
import { chosenPlace, useSide } from '../../state/side.ts'
import type { Command } from '../command.ts'

const code = () => useSide.getState().places[chosenPlace()]?.code ?? null

export const openItem: Command = {
  id: 'side.openItem',
  place: 'side',
  // its code would give away what hidden names hide
  label: () => 'Open',
  /** Enter, while the paints have the focus. */
  shortcut: null,
  missing: () => (code() === null ? 'Only a panel can be opened.' : null),
  run() {
    const key = code()
    if (key !== null) go({ at: 'panel', key })
  },
  undo: 'none',
}
