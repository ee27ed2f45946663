import type { Stage, View } from '../../../../shared-core/records/colour.ts'
import type { Step } from '../../../../shared-core/records/panel.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'

/** Readings that may be compared as they stand: one view, light, stage, and one way of writing Lab. */
export type ReadingGroup = {
  key: string
  view: View
  stage: Stage
  lightId: string | null
  illuminant: Reading['illuminant']
  observer: Reading['observer']
  rows: { reading: Reading; coats: number }[]
}

const viewOrder: readonly View[] = ['face', 'near-glare', 'flop']
/** Cleared and cured are both how the customer sees it. */
const stageOrder: Record<Stage, number> = { cured: 0, cleared: 0, dry: 1, wet: 2 }

/** Face first, the most finished stage first, the fuller and the newer first; inside a group by coats, then the newest first. */
export function groupReadings(readings: readonly Reading[], steps: readonly Step[]): ReadingGroup[] {
  const groups = new Map<string, ReadingGroup>()
  for (const reading of readings) {
    const { view, stage, lightId, illuminant, observer } = reading
    const key = [view, stage, lightId, illuminant, observer].join(' ')
    const group = groups.get(key) ?? { key, view, stage, lightId, illuminant, observer, rows: [] }
    group.rows.push({ reading, coats: steps.find((step) => step.id === reading.stepId)?.coats ?? 0 })
    groups.set(key, group)
  }
  for (const group of groups.values())
    group.rows.sort((a, b) => a.coats - b.coats || b.reading.takenAt.localeCompare(a.reading.takenAt))
  return [...groups.values()].toSorted(
    (a, b) =>
      viewOrder.indexOf(a.view) - viewOrder.indexOf(b.view) ||
      stageOrder[a.stage] - stageOrder[b.stage] ||
      b.rows.length - a.rows.length ||
      newestOf(b).localeCompare(newestOf(a)),
  )
}

const newestOf = (group: ReadingGroup): string =>
  group.rows
    .map((row) => row.reading.takenAt)
    .toSorted()
    .at(-1) ?? ''
