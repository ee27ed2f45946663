import { useShelf } from '../../state/shelf.ts'
import type { Command } from '../command.ts'

export const newMaterial: Command = {
  id: 'shelf.new',
  place: 'shelf',
  label: () => 'New material',
  shortcut: 'n',
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => useShelf.setState({ adding: true }),
  undo: 'recorded',
}
