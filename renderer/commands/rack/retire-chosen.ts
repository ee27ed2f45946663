import { act } from '../../state/asking.ts'
import type { Command } from '../command.ts'

const panels = (count: number) => (count === 1 ? '1 panel' : `${count} panels`)

/** A retired panel stays on the wall and in searches, and says so: it faded, was sanded, or is lost. */
export const retireChosen: Command = {
  id: 'rack.retireChosen',
  place: 'rack',
  label: () => 'Retire',
  shortcut: null,
  missing: (state) => (state.chosen.length > 0 ? null : 'Choose a panel first.'),
  async run(state) {
    let retired = 0
    let before = 0
    for (const key of state.chosen) {
      const found = await act('panels.get', { key })
      if (found?.panel.status === 'retired') before++
      else if (found && (await act('panels.save', { draft: { ...found.panel, status: 'retired' } }))) retired++
    }
    if (retired > 0)
      state.say(
        `${panels(retired)} retired.`,
        'Retired panels keep their place on the wall and say so. Undo takes it back.',
      )
    else if (before > 0) state.say(`${panels(before)} retired before: nothing to change.`)
  },
  undo: 'recorded',
}
