import { chosenPlace, layOtherwise, sideRoute, useSide } from '../../state/side.ts'
import type { Command } from '../command.ts'

/** The same step or reference in another light or view: walks through its readings, newest first. */
export const otherReading: Command = {
  id: 'side.otherReading',
  place: 'side',
  label: () => 'Other reading',
  shortcut: 'o',
  missing() {
    const readings = useSide.getState().places[chosenPlace()]?.readingIds.length ?? 0
    return readings > 1 ? null : 'There is no other reading of it.'
  },
  run() {
    const at = chosenPlace()
    const place = useSide.getState().places[at]
    const items = sideRoute()?.items ?? []
    if (!place?.readingId) return
    const ids = place.readingIds
    const id = ids[(ids.indexOf(place.readingId) + 1) % ids.length]
    if (id !== undefined) layOtherwise({ items: items.map((item, i) => (i === at ? { kind: 'reading', id } : item)) })
  },
  undo: 'none',
}
