import type { Layout, Quad } from '../records/area.ts'
import { outlineOf } from './geometry.ts'

/** Everything that is marked in a photo: what lies outside of it is surroundings. */
export function outlinesOf(layout: Layout): Quad[] {
  const outlines = layout.areas.map((area) => outlineOf(area.shape))
  if (layout.card) outlines.push(layout.card.quad)
  for (const tile of layout.tiles ?? []) outlines.push(tile.quad)
  if (layout.chart) outlines.push(layout.chart.quad)
  return outlines
}
