import { choosePlace, chosenPlace, layOtherwise, sideRoute, useSide } from '../../state/side.ts'
import type { Command } from '../command.ts'

/** Out of this place only: nothing in the rack changes. */
export const takeAway: Command = {
  id: 'side.takeAway',
  place: 'side',
  label: () => 'Take away',
  shortcut: 'Delete',
  missing: () => (sideRoute()?.items.length ? null : 'Nothing lies here yet.'),
  run() {
    const items = sideRoute()?.items ?? []
    const chosen = chosenPlace()
    useSide.setState({ blink: null })
    layOtherwise({ items: items.filter((_, i) => i !== chosen) })
    choosePlace(chosen)
  },
  undo: 'none',
}
