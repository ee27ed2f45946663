import { layOtherwise, sideRoute } from '../../state/side.ts'
import type { Command } from '../command.ts'

export const switchShown: Command = {
  id: 'side.switchShown',
  place: 'side',
  label: () => (sideRoute()?.how.shows === 'colours' ? 'Photos' : 'Flat colours'),
  shortcut: 'p',
  missing: () => (sideRoute()?.items.length ? null : 'Nothing lies here yet.'),
  run: () => layOtherwise({ how: { shows: sideRoute()?.how.shows === 'colours' ? 'photos' : 'colours' } }),
  undo: 'none',
}
