import type { PanelChange } from '../../../shared-core/records/wall.ts'
import { countInWords } from '../../parts/say-numbers.ts'
import { act } from '../../state/asking.ts'
import type { State } from '../../state/store.ts'

/** As many as one change may hold. */
const most = 10_000

export const panelsInWords = (count: number): string => (count === 1 ? '1 panel' : `${countInWords(count)} panels`)

export function missingForChange({ chosen }: State): string | null {
  if (chosen.length === 0) return 'Choose a panel first.'
  return chosen.length > most ? `Choose at most ${countInWords(most)} panels: one change holds no more.` : null
}

/**
 * Changes all chosen panels in one go and says what was done.
 * @param said what was done to how many: "12 panels retired."
 * @returns whether the rack was asked without a failure
 */
export async function changeChosen(
  { chosen, say, setView }: State,
  change: PanelChange,
  said: (panels: string) => string,
): Promise<boolean> {
  const done = await act('panels.changeMany', { panelIds: chosen, change })
  if (!done) return false
  const { changed, skipped } = done
  if (change.trash) setView({ chosen: [] })
  const left = skipped.map(({ why, panelIds }) => `${panelsInWords(panelIds.length)} left as before: ${why}`).join(' ')
  if (changed > 0) say(said(panelsInWords(changed)), `${left} One Undo takes it back.`.trim())
  else say('Nothing to change.', left || 'It is so on all of these panels already.')
  return true
}
