import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const mixThis: Command = {
  id: 'panel.mixThis',
  place: 'panel',
  label: () => 'Mix this',
  shortcut: 'm',
  missing(state) {
    const shown = shownPanel(state)
    if (!shown) return notShown
    return shown.panel.layers.some(({ mixture }) => mixture) ? null : 'No formula was written down for this panel.'
  },
  run(state) {
    const shown = shownPanel(state)
    if (shown) go({ at: 'mix', cupId: null, from: { kind: 'panel', key: shown.panel.code } })
  },
  undo: 'none',
}
