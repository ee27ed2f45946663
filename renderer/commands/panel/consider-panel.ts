import { bestReading } from '../../parts/best-reading.ts'
import { coatsInWords } from '../../parts/strokes.tsx'
import { consider } from '../../state/job-dialogs.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

/** The step that speaks for the panel: the one that is read best, otherwise the one with most coats. */
export const considerPanel: Command = {
  id: 'panel.considerForJob',
  place: 'panel',
  label: () => 'Use in a job',
  shortcut: 'j',
  missing: (state) => (shownPanel(state) ? null : notShown),
  run(state) {
    const shown = shownPanel(state)
    if (!shown) return
    const { panel, readings } = shown
    const read = bestReading(readings, panel.steps)?.stepId
    const step = panel.steps.find(({ id }) => id === read) ?? panel.steps.toSorted((a, b) => b.coats - a.coats)[0]
    const name = `${panel.code} ${panel.title}`.trim()
    consider({
      name: step ? `${name}, ${coatsInWords(step.coats)}` : name,
      candidate: { panelId: panel.id, stepId: step?.id ?? null, recipe: null },
      referenceId: null,
    })
  },
  undo: 'recorded',
}
