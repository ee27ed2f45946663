import { blendInWords, overInWords } from '../../parts/film/film-words.ts'
import { coatsInWords } from '../../parts/strokes.tsx'
import { useMatch } from '../../screens/match/match-state.ts'
import { act } from '../../state/asking.ts'
import { consider } from '../../state/job-dialogs.ts'
import { keptReference } from '../../state/match-address.ts'
import type { Command } from '../command.ts'

export const considerCandidate: Command = {
  id: 'match.considerForJob',
  place: 'match',
  label: () => 'Consider for a job',
  shortcut: 'j',
  missing() {
    const { code, predicted } = useMatch.getState()
    return code === null && predicted === null ? 'Choose a candidate first.' : null
  },
  async run(state) {
    const { code, stepId, predicted } = useMatch.getState()
    // a panel's reading is no customer's reference
    const referenceId = state.route.at === 'match' ? keptReference(state.route.referenceId) : null
    if (predicted !== null) {
      const { recipe } = predicted.suggestion
      consider({
        name: `${blendInWords(recipe.formula, predicted.knows, state.settings)}, ${overInWords(recipe, predicted.knows)}`,
        candidate: { panelId: null, stepId: null, recipe },
        referenceId,
      })
      return
    }
    if (code === null || stepId === null) return
    const found = await act('panels.get', { key: code })
    if (!found) return
    const coats = found.panel.steps.find(({ id }) => id === stepId)?.coats
    const name = `${code} ${found.panel.title}`.trim()
    consider({
      name: coats === undefined ? name : `${name}, ${coatsInWords(coats)}`,
      candidate: { panelId: found.panel.id, stepId, recipe: null },
      referenceId,
    })
  },
  undo: 'recorded',
}
