import { layOtherwise, sideRoute } from '../../state/side.ts'
import type { Command } from '../command.ts'

/** Names, figures and words lead the eye: hidden, one judges the colours alone. */
export const hideNames: Command = {
  id: 'side.hideNames',
  place: 'side',
  label: () => (sideRoute()?.how.names === false ? 'Show names' : 'Hide names'),
  shortcut: 'n',
  missing: () => (sideRoute()?.items.length ? null : 'Nothing lies here yet.'),
  run: () => layOtherwise({ how: { names: sideRoute()?.how.names === false } }),
  undo: 'none',
}
