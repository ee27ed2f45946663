import type { JobCandidate, JobFormula } from '../../../../shared-core/records/customer-job.ts'
import type { GunSetup, Panel } from '../../../../shared-core/records/panel.ts'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'

/** What is to be sprayed to get a step of a panel; null where the panel's formula was not written down. */
export function formulaOfStep(panel: Panel, stepId: string | null): JobFormula | null {
  const paint = panel.layers.filter(({ kind }) => kind === 'candy' || kind === 'solid')
  const layer = paint.find(({ mixture }) => mixture !== null)
  if (!layer?.mixture) return null
  const step = panel.steps.find(({ id }) => id === stepId) ?? panel.steps.toSorted((a, b) => b.coats - a.coats)[0]
  const ground = panel.layers.findLast(({ kind }) => kind === 'ground')
  return {
    panelId: panel.id,
    stepId: step?.id ?? null,
    mixture: layer.mixture,
    ground: ground?.name ?? '',
    coats: step?.coats ?? layer.coats,
    gunSetup: layer.gunSetup,
  }
}

/** The formula of what was considered. @returns null when there is none; why was told */
export async function formulaOf(
  { panelId, stepId, recipe }: Pick<JobCandidate, 'panelId' | 'stepId' | 'recipe'>,
  guns: readonly GunSetup[],
): Promise<JobFormula | null> {
  if (recipe) {
    const mixed = await act('cups.mixtureOf', { recipe })
    const gunSetup = guns.find(({ id }) => id !== null && id === recipe.formula.gunSetupId) ?? null
    return mixed && { panelId: null, stepId: null, ...mixed, gunSetup }
  }
  const found = panelId === null ? null : await act('panels.get', { key: panelId })
  if (!found) return null
  const formula = formulaOfStep(found.panel, stepId)
  if (!formula)
    useStore
      .getState()
      .say(`The formula of ${found.panel.code} was not written down.`, 'Write it on the panel, or type it here.')
  return formula
}
