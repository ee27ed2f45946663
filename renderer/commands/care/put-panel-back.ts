import { act } from '../../state/asking.ts'
import { namedShown, usePast } from '../../state/past.ts'
import type { Command } from '../command.ts'

/** Out of the trash, as it stood before it was removed: one change, which Undo takes back. */
export const putPanelBack: Command = {
  id: 'history.putPanelBack',
  place: 'care',
  label: (state) => `Put ${namedShown(state)?.panel.code ?? 'it'} back`,
  shortcut: 'p',
  missing(state) {
    const named = namedShown(state)
    if (named?.panel.where !== 'trash') return 'Choose a panel that lies in the trash first.'
    return named.removal === null ? 'The history does not say when it was removed.' : null
  },
  async run(state) {
    const named = namedShown(state)
    if (!named || named.removal === null) return
    const then = { panelId: named.panel.id, changeId: named.removal, before: true, keepLater: true }
    const done = await act('history.restorePanel', then)
    if (!done) return
    usePast.getState().set({ before: false })
    state.say([`${done.code} is back in the rack.`, ...done.notes].join(' '), 'Undo takes it back.')
  },
  undo: 'recorded',
}
