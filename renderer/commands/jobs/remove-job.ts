import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { noJobShown, shownJob } from './shown-job.ts'

export const removeJob: Command = {
  id: 'jobs.remove',
  place: 'jobs',
  label: () => 'Remove job',
  shortcut: null,
  missing: (state) => (shownJob(state) ? null : noJobShown),
  async run(state) {
    const shown = shownJob(state)
    if (!shown) return
    const { id, code, title } = shown.job
    if (!(await act('customerJobs.remove', { customerJobId: id }))) return
    go({ at: 'jobs', key: null }, 'replace')
    state.say(`${code} ${title} is removed.`, 'Its cups and check panels stay. Undo brings it back.')
  },
  undo: 'recorded',
}
