import { useJobDialogs } from '../../state/job-dialogs.ts'
import type { Command } from '../command.ts'

export const newJob: Command = {
  id: 'jobs.new',
  place: 'jobs',
  label: () => 'New job',
  shortcut: 'n',
  missing: (state) => (state.rack ? null : 'Open a rack first.'),
  run: () => useJobDialogs.setState({ beginning: true, referenceId: null }),
  undo: 'recorded',
}
