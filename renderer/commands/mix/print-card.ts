import { act } from '../../state/asking.ts'
import { openDrawn } from '../../state/open-drawn.ts'
import type { Command } from '../command.ts'
import { shownCup } from './shown-cup.ts'

export const printCard: Command = {
  id: 'mix.printCard',
  place: 'mix',
  label: () => 'Print the card',
  shortcut: 'Mod+p',
  missing: (state) => (shownCup(state) ? null : 'Open a cup first.'),
  async run(state) {
    const shown = shownCup(state)
    const card = shown && (await act('cups.drawCard', { cupIds: [shown.cup.id] }))
    if (card) await openDrawn(card)
  },
  undo: 'none',
}
