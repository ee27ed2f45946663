import { layOtherwise, sideRoute } from '../../state/side.ts'
import type { Command } from '../command.ts'

export const againstFirst: Command = {
  id: 'side.againstFirst',
  place: 'side',
  label: () => (sideRoute()?.how.against === 'first' ? 'Against neighbours' : 'Against the first'),
  shortcut: 'c',
  missing: () => ((sideRoute()?.items.length ?? 0) > 2 ? null : 'With two there is only one difference.'),
  run: () => layOtherwise({ how: { against: sideRoute()?.how.against === 'first' ? 'neighbour' : 'first' } }),
  undo: 'none',
}
