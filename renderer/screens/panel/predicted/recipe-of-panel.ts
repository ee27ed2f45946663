import { planFormulaOf } from '../../../../shared-core/film/formula-of-panel.ts'
import { groundOfLayers, knownGround } from '../../../../shared-core/film/ground-of-panel.ts'
import type { FilmKnowledge, KnownGround, PlanFormula } from '../../../../shared-core/records/film.ts'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import { isRead } from '../../../parts/film/film-words.ts'

export type PanelRecipe = { ok: true; formula: PlanFormula; ground: KnownGround } | { ok: false; why: string }

/** What a panel's layers say as one formula over one ground that the rack knows; or why it cannot be predicted. */
export function recipeOfPanel(panel: Pick<Panel, 'layers'>, knows: FilmKnowledge): PanelRecipe {
  const found = planFormulaOf(panel)
  if (!found.ok) return found
  const written = groundOfLayers(panel.layers)
  if (!written) return { ok: false, why: 'Its ground was not written down.' }
  const ground = knownGround(written, knows.grounds)
  if (!ground || !isRead(ground)) return { ok: false, why: `No panel over ${written.name} was read yet.` }
  return { ok: true, formula: found.formula, ground }
}
