import { flushJob } from '../../state/job-edits.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { noJobShown, shownJob } from './shown-job.ts'

export const mixForJob: Command = {
  id: 'jobs.mix',
  place: 'jobs',
  label: () => 'Mix for this job',
  shortcut: 'm',
  missing(state) {
    const shown = shownJob(state)
    if (!shown) return noJobShown
    return shown.job.formula ? null : 'Choose the formula first.'
  },
  async run(state) {
    const shown = shownJob(state)
    if (!shown) return
    await flushJob(shown.job.id)
    go({ at: 'mix', cupId: null, from: { kind: 'job', key: shown.job.code } })
  },
  undo: 'none',
}
