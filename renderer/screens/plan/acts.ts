import type {
  FilmKnowledge,
  KnownGround,
  PlanFormula,
  PlannedPanel,
  PlanRecipe,
} from '../../../shared-core/records/film.ts'
import type { PanelSummary } from '../../../shared-core/records/panel.ts'
import { blendInWords, groundName } from '../../parts/film/film-words.ts'
import { act } from '../../state/asking.ts'
import { chooseCell, usePlan } from '../../state/plan.ts'
import { planAddress } from '../../state/plan-address.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { shownGrounds } from './first-formula.ts'

/** Sets the sliders to a recipe and shows its cell. Going back returns to what was set before. */
export function setSliders({ formula, ground, coats }: PlanRecipe, knows: FilmKnowledge): void {
  const { formula: before, referenceId, grounds } = usePlan.getState()
  go(planAddress(before, referenceId), 'replace')
  usePlan.setState({ formula })
  chooseCell(
    { ground, coats },
    shownGrounds(knows, grounds).map(({ id }) => id),
  )
  go(planAddress(formula, referenceId))
  useStore.getState().say('The sliders are set.', 'Back returns to what was set before.')
}

/** A planned panel as it is put on the list; with a bare strip where the ground was never read bare under clear. */
export function plannedPanel(
  formula: PlanFormula,
  ground: KnownGround | undefined,
  coats: readonly number[],
  knows: FilmKnowledge,
): PlannedPanel | null {
  if (!ground) return null
  const strip = formula.finish === 'cleared' && ground.bare !== 'cleared' ? [0] : []
  const steps = [...new Set([...strip, ...coats])].toSorted((a, b) => a - b)
  return { ground: ground.id, formula, coats: steps, title: titleOf(formula, knows) }
}

export const titleOf = (formula: PlanFormula, knows: FilmKnowledge): string =>
  blendInWords(formula, knows, useStore.getState().settings).slice(0, 200)

/** @returns whether they are on the list now; a failure was told */
export async function putPanels(panels: PlannedPanel[]): Promise<boolean> {
  const done = await act('plan.addPanels', { panels })
  if (!done) return false
  const count = done.panelIds.length
  const what = count === 1 ? 'A planned panel is' : `${count} planned panels are`
  useStore.getState().say(`${what} on the list.`, `Undo takes ${count === 1 ? 'it' : 'them'} off again.`)
  return true
}

/** The planned panel that is this one already, with its steps or more. */
export function onList(
  { ground, coats, title }: Pick<PlannedPanel, 'ground' | 'coats' | 'title'>,
  planned: readonly PanelSummary[],
  knows: FilmKnowledge,
): PanelSummary | undefined {
  const name = groundName(knows, ground).toLowerCase()
  return planned.find(
    (panel) =>
      panel.title === title &&
      panel.ground?.toLowerCase() === name &&
      coats.every((count) => panel.bands.some((band) => band.coats === count)),
  )
}
