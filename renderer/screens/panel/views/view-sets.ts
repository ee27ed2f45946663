import type { Stage, View } from '../../../../shared-core/records/colour.ts'
import type { Texture } from '../../../../shared-core/records/reading.ts'
import { type ReadingGroup, type ReadingRow, stageOrder } from '../readings/reading-groups.ts'

/** From the glare to the flop: by aspecular angle. */
export const viewsByAngle: readonly View[] = ['near-glare', 'face', 'flop']

export type ViewCell = { row: ReadingRow }
export type ViewLine = { stepId: string | null; coats: number; cells: (ViewCell | null)[] }

/** All views of one light and stage that were read, by angle; the cells of a line stand in their order. */
export type ViewSet = { key: string; stage: Stage; lightId: string | null; views: View[]; lines: ViewLine[] }

/** Sets of two views or more: the most finished first, then the one with most views and most steps. */
export function viewSets(groups: readonly ReadingGroup[]): ViewSet[] {
  const byLight = new Map<string, ReadingGroup[]>()
  for (const group of groups) {
    const key = [group.stage, group.lightId, group.illuminant, group.observer].join(' ')
    byLight.set(key, [...(byLight.get(key) ?? []), group])
  }
  return [...byLight]
    .map(([key, alike]): ViewSet => {
      const views = viewsByAngle.filter((view) => alike.some((group) => group.view === view))
      const rows = alike.flatMap((group) => group.rows)
      const steps = new Map(rows.map((row) => [row.stepId, row.coats]))
      const lines = [...steps].map(([stepId, coats]) => ({
        stepId,
        coats,
        cells: views.map((view) => {
          const group = alike.find((one) => one.view === view)
          const row = group?.rows.find((one) => one.stepId === stepId)
          return row ? { row } : null
        }),
      }))
      const { stage, lightId } = alike[0]!
      return { key, stage, lightId, views, lines: lines.toSorted((a, b) => a.coats - b.coats) }
    })
    .filter(({ views }) => views.length > 1)
    .toSorted(
      (a, b) =>
        stageOrder[a.stage] - stageOrder[b.stage] || b.views.length - a.views.length || b.lines.length - a.lines.length,
    )
}

/** The texture of a row: that of the reading which weighs most among those that have one. */
export function textureOf(row: ReadingRow): Texture | null {
  for (const { reading } of row.combined.used) if (reading.texture) return reading.texture
  return null
}
