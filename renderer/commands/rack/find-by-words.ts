import type { Command } from '../command.ts'

/** Puts the hand into the search field of the bar. */
export const findByWords: Command = {
  id: 'rack.findByWords',
  place: 'rack',
  label: () => 'Search by words',
  shortcut: '/',
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run() {
    const field = document.querySelector<HTMLInputElement>('.find input')
    field?.focus()
    field?.select()
  },
  undo: 'none',
}
