import { act } from '../../state/asking.ts'
import { flushJob } from '../../state/job-edits.ts'
import { openDrawn } from '../../state/open-drawn.ts'
import type { Command } from '../command.ts'
import { noJobShown, shownJob } from './shown-job.ts'

export const printJobSheet: Command = {
  id: 'jobs.printSheet',
  place: 'jobs',
  label: () => 'Print the job sheet',
  shortcut: 'Mod+p',
  missing: (state) => (shownJob(state) ? null : noJobShown),
  async run(state) {
    const shown = shownJob(state)
    if (!shown) return
    // what was typed last stands on the sheet too
    await flushJob(shown.job.id)
    const drawn = await act('customerJobs.drawSheet', { customerJobId: shown.job.id })
    if (drawn) await openDrawn(drawn)
  },
  undo: 'none',
}
