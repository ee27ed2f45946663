import { type Combined, combineReadings, likeReadings } from '../../../../shared-core/capture/combine.ts'
import type { Stage, View } from '../../../../shared-core/records/colour.ts'
import type { Step } from '../../../../shared-core/records/panel.ts'
import type { Caution } from '../../../../shared-core/records/photo.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'

/** The readings of one step that are alike, newest first, and what they come to together. */
export type ReadingRow = {
  key: string
  stepId: string | null
  coats: number
  readings: Reading[]
  combined: Combined<Reading>
}

/** Readings that may be compared as they stand: one view, light, stage, and one way of writing Lab. */
export type ReadingGroup = {
  key: string
  view: View
  stage: Stage
  lightId: string | null
  illuminant: Reading['illuminant']
  observer: Reading['observer']
  rows: ReadingRow[]
}

const viewOrder: readonly View[] = ['face', 'near-glare', 'flop']
/** Cleared and cured are both how the customer sees it. */
export const stageOrder: Record<Stage, number> = { cured: 0, cleared: 0, dry: 1, wet: 2 }

const newestFirst = (a: Reading, b: Reading) => b.takenAt.localeCompare(a.takenAt) || b.id.localeCompare(a.id)

/** Face first, the most finished stage first, the fuller and the newer first; inside a group by coats. */
export function groupReadings(readings: readonly Reading[], steps: readonly Step[]): ReadingGroup[] {
  const groups = new Map<string, ReadingGroup>()
  const stepIds = new Set(readings.map((reading) => reading.stepId))
  for (const stepId of stepIds) {
    const ofStep = readings.filter((reading) => reading.stepId === stepId).toSorted(newestFirst)
    for (const alike of likeReadings(ofStep)) {
      const { view, stage, illuminant, observer } = alike[0]!
      const lightId = alike.find((reading) => reading.lightId !== null)?.lightId ?? null
      const key = [view, stage, lightId, illuminant, observer].join(' ')
      const group = groups.get(key) ?? { key, view, stage, lightId, illuminant, observer, rows: [] }
      const coats = steps.find((step) => step.id === stepId)?.coats ?? 0
      group.rows.push({ key: alike[0]!.id, stepId, coats, readings: alike, combined: combineReadings(alike) })
      groups.set(key, group)
    }
  }
  for (const group of groups.values()) group.rows.sort((a, b) => a.coats - b.coats || newestFirst(newest(a), newest(b)))
  return [...groups.values()].toSorted(
    (a, b) =>
      viewOrder.indexOf(a.view) - viewOrder.indexOf(b.view) ||
      stageOrder[a.stage] - stageOrder[b.stage] ||
      countOf(b) - countOf(a) ||
      newestOf(b).localeCompare(newestOf(a)),
  )
}

const newest = (row: ReadingRow): Reading => row.readings[0]!
export const readingsOf = (group: ReadingGroup): Reading[] => group.rows.flatMap((row) => row.readings)
const countOf = (group: ReadingGroup): number => readingsOf(group).length
const newestOf = (group: ReadingGroup): string =>
  readingsOf(group)
    .map((reading) => reading.takenAt)
    .toSorted()
    .at(-1) ?? ''

/** The reading that stands for a row: the one that weighs most. */
export const speaksFor = (row: ReadingRow): Reading => row.combined.used[0]!.reading

/** What one has to do something about; notes stand with the reading itself. */
export function warningsOf(row: ReadingRow): Caution[] {
  const found = new Map<string, Caution>()
  for (const { reading } of row.combined.used)
    for (const caution of reading.cautions) if (caution.weight !== 'note') found.set(caution.code, caution)
  return [...found.values()]
}

/** Warnings that every row of a table of several has: they are said once for all of it. */
export function commonWarnings(group: ReadingGroup): Caution[] {
  const [first, ...rest] = group.rows
  if (!first || rest.length === 0) return []
  return warningsOf(first).filter(({ code }) =>
    rest.every((row) => warningsOf(row).some((other) => other.code === code)),
  )
}
