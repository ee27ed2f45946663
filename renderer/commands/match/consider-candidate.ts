import { coatsInWords } from '../../parts/strokes.tsx'
import { useMatch } from '../../screens/match/match-state.ts'
import { act } from '../../state/asking.ts'
import { consider } from '../../state/job-dialogs.ts'
import type { Command } from '../command.ts'

export const considerCandidate: Command = {
  id: 'match.considerForJob',
  place: 'match',
  label: () => 'Consider for a job',
  shortcut: 'j',
  missing: () => (useMatch.getState().code === null ? 'Choose a candidate first.' : null),
  async run(state) {
    const { code, stepId } = useMatch.getState()
    if (code === null || stepId === null) return
    const found = await act('panels.get', { key: code })
    if (!found) return
    const coats = found.panel.steps.find(({ id }) => id === stepId)?.coats
    const name = `${code} ${found.panel.title}`.trim()
    const of = state.route.at === 'match' ? state.route.referenceId : null
    consider({
      name: coats === undefined ? name : `${name}, ${coatsInWords(coats)}`,
      candidate: { panelId: found.panel.id, stepId, recipe: null },
      // a panel's reading is no customer's reference
      referenceId: of?.startsWith('reading-') ? null : of,
    })
  },
  undo: 'recorded',
}
