import { laySideBySide } from '../../state/side.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

/** Steps that have a colour, in the panel's own order. */
function stepsRead(state: State): string[] | null {
  const shown = shownPanel(state)
  if (!shown) return null
  const read = new Set(shown.readings.map(({ stepId }) => stepId))
  return shown.panel.steps.flatMap(({ id }) => (id !== null && read.has(id) ? [id] : []))
}

/** How the colour goes on from coat to coat, with nothing between the steps. */
export const laySteps: Command = {
  id: 'panel.laySteps',
  place: 'panel',
  label: () => 'Steps side by side',
  shortcut: 's',
  missing(state) {
    const steps = stepsRead(state)
    if (!steps) return notShown
    return steps.length > 1 ? null : 'Two steps with a colour are needed: photograph them or type their colours.'
  },
  run(state) {
    const steps = stepsRead(state) ?? []
    laySideBySide(steps.map((id) => ({ kind: 'step', id })))
  },
  undo: 'none',
}
