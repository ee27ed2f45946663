import type { Layer, PanelDraft } from '../../records/panel.ts'
import type { RowColour } from './reading.ts'

/** What one panel is written as in several rows: each a step, with its own coats and colour. */

const mostSteps = 40

/**
 * Whether a row of the same code is another step of the panel before it: other coats, and everything else the same, or
 * left empty as one does below a first row.
 */
export function isFurtherStep(panel: PanelDraft, next: PanelDraft): boolean {
  if (panel.code === null || next.code === null || panel.code.toLowerCase() !== next.code.toLowerCase()) return false
  const [has, adds] = [panel.steps, next.steps].map((steps) => steps.map(({ coats }) => coats))
  if (!has || !adds || has.length + adds.length > mostSteps || adds.some((coats) => has.includes(coats))) return false
  const facts = ['title', 'sprayedBy', 'substrate'] as const
  if (facts.some((fact) => next[fact] !== '' && next[fact] !== panel[fact])) return false
  if (next.sprayedOn !== null && next.sprayedOn !== panel.sprayedOn) return false
  if (next.status !== panel.status || next.tags.some((tag) => !panel.tags.includes(tag))) return false
  return next.layers.length === 0 ? hasCandy(panel) : build(next) === build(panel) && hasCandy(panel)
}

const hasCandy = ({ layers }: PanelDraft): boolean => layers.some((layer) => layer.kind === 'candy')

/** The build without the coats that steps differ in. */
const build = ({ layers }: PanelDraft): string =>
  JSON.stringify(layers.map((layer): Layer => (layer.kind === 'candy' ? { ...layer, coats: 0 } : layer)))

/** Steps stand in the order of their coats; what was noted of one stays with it. */
export function addSteps(
  read: { draft: PanelDraft; colours: RowColour[] },
  next: PanelDraft,
  colours: readonly RowColour[],
): void {
  const notes = next.notes === read.draft.notes ? '' : next.notes.slice(0, 1000)
  const steps = [...read.draft.steps, ...next.steps.map((step) => ({ ...step, notes }))]
  const most = Math.max(...steps.map(({ coats }) => coats))
  read.draft = {
    ...read.draft,
    steps: steps.toSorted((a, b) => a.coats - b.coats),
    layers: read.draft.layers.map((layer) => (layer.kind === 'candy' ? { ...layer, coats: most } : layer)),
  }
  read.colours.push(...colours)
}
