import type { Command } from '../command.ts'
import { noJobShown, shownJob } from './shown-job.ts'

export const printCheckLabels: Command = {
  id: 'jobs.printLabels',
  place: 'jobs',
  label: () => 'Print labels of its panels',
  shortcut: null,
  missing(state) {
    const shown = shownJob(state)
    if (!shown) return noJobShown
    return shown.job.checks.length > 0 ? null : 'Add a check panel first: it is what gets a label.'
  },
  run(state) {
    const panelIds = [...new Set((shownJob(state)?.job.checks ?? []).map(({ panelId }) => panelId))]
    if (panelIds.length > 0) state.setView({ printing: { kind: 'label', panelIds } })
  },
  undo: 'none',
}
