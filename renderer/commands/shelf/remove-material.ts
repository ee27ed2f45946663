import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import { dropDraft } from '../../state/shelf.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'
import { noMaterialShown, shownHistory, shownMaterial } from './shown-material.ts'

const some = (codes: readonly string[]): string =>
  codes.length > 3 ? `${codes.slice(0, 3).join(', ')} and ${codes.length - 3} more` : codes.join(', ')

/** Why it stays: a record that names it could not be read without it. Null: nothing needs it, as far as is known. */
export function neededBy(state: State): string | null {
  const material = shownMaterial(state)
  const history = material && shownHistory(state, material.id)
  if (!history) return null
  const { panels, cups, jobs, replacements } = history
  const codes = [...panels, ...cups, ...jobs].map(({ code }) => code)
  if (codes.length > 0) return `It cannot be removed: ${some(codes)} ${codes.length === 1 ? 'needs' : 'need'} it.`
  return replacements.length > 0 ? 'It cannot be removed: the trail of what was replaced needs it.' : null
}

export const removeMaterial: Command = {
  id: 'shelf.remove',
  place: 'shelf',
  label: () => 'Remove it',
  shortcut: null,
  missing: (state) => (shownMaterial(state) ? neededBy(state) : noMaterialShown),
  async run(state) {
    const material = shownMaterial(state)
    if (!material || !(await act('shelf.remove', { materialId: material.id }))) return
    dropDraft(material.id)
    go({ at: 'shelf', materialId: null }, 'replace')
    state.say(`${material.name} is removed from the shelf.`, 'Undo brings it back with its counts.')
  },
  undo: 'recorded',
}
