import { countInWords } from '../../parts/say-numbers.ts'
import { chooseAlso } from '../../screens/rack/wall/arrange.ts'
import { setOf, useRackOrder } from '../../state/rack-order.ts'
import type { Command } from '../command.ts'

const shown = (): readonly string[] => useRackOrder.getState().order?.ids ?? []

/** All that fit the words, also those far down the wall. */
export const chooseAll: Command = {
  id: 'chosen.chooseAll',
  place: 'rack',
  label: () => `Choose all ${countInWords(shown().length)}`,
  shortcut: 'Mod+a',
  missing({ chosen }) {
    if (shown().length === 0) return 'No panel is shown.'
    const set = setOf(chosen)
    return shown().every((id) => set.has(id)) ? 'All that are shown are chosen.' : null
  },
  run: ({ chosen, setView }) => setView({ chosen: chooseAlso(chosen, shown()) }),
  undo: 'none',
}
