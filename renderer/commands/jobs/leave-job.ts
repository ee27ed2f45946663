import { goBack } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { noJobShown, shownJob } from './shown-job.ts'

export const leaveJob: Command = {
  id: 'jobs.leave',
  place: 'jobs',
  label: () => 'Back to the jobs',
  shortcut: 'Escape',
  missing: (state) => (shownJob(state) ? null : noJobShown),
  run: () => goBack({ at: 'jobs', key: null }),
  undo: 'none',
}
