import { takenPanels, useTaking } from '../../screens/care/archive/archive-state.ts'
import { counted } from '../../screens/care/archive/words.ts'
import { act } from '../../state/asking.ts'
import type { Command } from '../command.ts'

/** Takes in what was looked at, as it was decided. */
export const takeIn: Command = {
  id: 'care.takeIn',
  place: 'care',
  label: () => {
    const taken = takenPanels(useTaking.getState())
    return taken > 0 ? `Take in ${counted(taken, 'panel')}` : 'Take in'
  },
  shortcut: 'Mod+Enter',
  missing: (state) => {
    const { comparison, takeJob } = useTaking.getState()
    if (!comparison) return 'Nothing was looked at yet.'
    return takeJob !== null && state.jobs[takeJob]?.state === 'running' ? 'It is being taken in.' : null
  },
  async run() {
    const { comparison, rules, choices, parts } = useTaking.getState()
    if (!comparison) return
    const started = await act('archive.mergeIn', { comparisonId: comparison.id, rules, choices, parts })
    if (started) useTaking.setState({ takeJob: started.jobId })
  },
  undo: 'recorded',
}
