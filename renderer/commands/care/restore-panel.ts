import { act } from '../../state/asking.ts'
import { shownThen, thenAsked, usePast } from '../../state/past.ts'
import type { Command } from '../command.ts'

/** As one change, which Undo takes back. */
export const restorePanel: Command = {
  id: 'history.restorePanel',
  place: 'care',
  label: (state) => `Restore ${shownThen(state)?.past?.panel.code ?? 'the panel'} as it stood then`,
  shortcut: 'r',
  missing(state) {
    const shown = usePast.getState().view === 'stood' ? shownThen(state) : null
    if (!shown) return 'Look at how a panel stood first.'
    if (shown.hindrance !== null) return shown.hindrance
    return shown.differs ? null : 'It stands like that now.'
  },
  async run(state) {
    const asked = thenAsked(state)
    const done = asked && (await act('history.restorePanel', asked))
    if (!done) return
    usePast.getState().set({ before: false })
    state.say([`${done.code} is restored.`, ...done.notes].join(' '), 'Undo takes it back.')
  },
  undo: 'recorded',
}
