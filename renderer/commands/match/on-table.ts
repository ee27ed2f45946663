import { allOnTable } from '../../state/match-address.ts'
import { chooseOnTable, mostOnTable, tableNow, takeOffTable } from '../../state/match-table.ts'
import type { Command } from '../command.ts'

const choose = (place: number): Command => ({
  id: `match.onTable${place}`,
  place: 'match',
  label: () => `Reference ${place} of the table`,
  shortcut: String(place),
  missing: () => (place <= tableNow().length ? null : `Only ${tableNow().length} lie on the table.`),
  run() {
    const id = tableNow()[place - 1]
    if (id !== undefined) chooseOnTable(id)
  },
  undo: 'none',
})

/** Number keys go from one reference on the table to another. */
export const choosesOnTable: readonly Command[] = Array.from({ length: mostOnTable }, (_, i) => choose(i + 1))

export const nearAllOfThem: Command = {
  id: 'match.nearAll',
  place: 'match',
  label: () => 'Near all of them',
  shortcut: '0',
  missing: () => (tableNow().length > 1 ? null : 'Lay a second reference on the table first.'),
  run: () => chooseOnTable(allOnTable),
  undo: 'none',
}

export const takeOff: Command = {
  id: 'match.takeOffTable',
  place: 'match',
  label: () => 'Take off the table',
  shortcut: 'Delete',
  missing: ({ route }) =>
    route.at === 'match' && route.referenceId !== null && tableNow().includes(route.referenceId)
      ? null
      : 'Choose a reference on the table first.',
  run({ route }) {
    if (route.at === 'match' && route.referenceId !== null) takeOffTable(route.referenceId)
  },
  undo: 'none',
}
