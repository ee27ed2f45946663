import { rackPlace } from '../../state/rack-place.ts'
import type { Command } from '../command.ts'

/** Copies a rack that is only looked at to this computer, where it can be changed. */
export const copyHere: Command = {
  id: 'app.copyHere',
  place: 'any',
  label: () => 'Copy it to this computer',
  shortcut: null,
  missing(state) {
    if (state.rack?.access.mode !== 'reading') return 'This rack is open with full rights.'
    const running = Object.values(state.jobs).some((job) => job.kind === 'copy' && job.state === 'running')
    return running ? 'It is being copied.' : null
  },
  run: () => rackPlace.setState({ shown: 'copy' }),
  undo: 'none',
}
