import { bestReading } from '../../parts/best-reading.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

/** In the match place a reference `reading-<id>` is a panel's own reading. */
export const findNear: Command = {
  id: 'panel.findNear',
  place: 'panel',
  label: () => 'Find near it',
  shortcut: 'f',
  missing(state) {
    const shown = shownPanel(state)
    if (!shown) return notShown
    return shown.readings.length > 0 ? null : 'This panel has no reading yet: photograph it or type a colour first.'
  },
  run(state) {
    const shown = shownPanel(state)
    const best = shown && bestReading(shown.readings, shown.panel.steps)
    if (best) go({ at: 'match', referenceId: `reading-${best.id}` })
  },
  undo: 'none',
}
