import { layOtherwise, sideRoute } from '../../state/side.ts'
import type { SideHow } from '../../state/side-address.ts'
import type { Command } from '../command.ts'

/** A quarter turn of the whole row: the eye may take the left or the upper one for lighter. */
export const turnRow: Command = {
  id: 'side.turnRow',
  place: 'side',
  label: () => 'Rotate',
  shortcut: 'r',
  missing: () => ((sideRoute()?.items.length ?? 0) > 1 ? null : 'Lay another beside this one first.'),
  run() {
    const turned = sideRoute()?.how.turned ?? 0
    layOtherwise({ how: { turned: ((turned + 1) % 4) as SideHow['turned'] } })
  },
  undo: 'none',
}
