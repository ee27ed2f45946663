import { planFormulaOf } from '../../../shared-core/film/formula-of-panel.ts'
import { planAddress } from '../../state/plan-address.ts'
import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

export const planFromIt: Command = {
  id: 'panel.planFromIt',
  place: 'panel',
  label: () => 'Plan from it',
  shortcut: 'l',
  missing(state) {
    const shown = shownPanel(state)
    if (!shown) return notShown
    const found = planFormulaOf(shown.panel)
    return found.ok ? null : found.why
  },
  run(state) {
    const shown = shownPanel(state)
    const found = shown && planFormulaOf(shown.panel)
    if (found?.ok) go(planAddress(found.formula))
  },
  undo: 'none',
}
