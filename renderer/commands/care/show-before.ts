import { historyRoute, usePast } from '../../state/past.ts'
import type { Command } from '../command.ts'

/** Between how the panel stood after the chosen entry and how it stood before it. */
export const showBefore: Command = {
  id: 'history.showBefore',
  place: 'care',
  label: () => (isShown() ? 'Show how it stood after this' : 'Show how it stood before this'),
  shortcut: 'g',
  missing: (state) => (historyRoute(state)?.panelId ? null : 'Choose a panel’s history first.'),
  run: () => usePast.getState().set({ before: !isShown(), view: 'stood' }),
  undo: 'none',
}

function isShown(): boolean {
  const { view, before } = usePast.getState()
  return view === 'stood' && before
}
