import type { Stage } from '../../records/colour.ts'
import type { Layer, Panel } from '../../records/panel.ts'

/** A panel that has a clear was most likely photographed under it; what somebody chose stays. */
export const supposeStage = (panel: { layers: readonly Pick<Layer, 'kind'>[] }, said: Stage): Stage =>
  said === 'dry' && panel.layers.at(-1)?.kind === 'clear' ? 'cleared' : said

/** Whole days from spraying to a photo, or null when either is unknown. */
export function ageOn(takenAt: string | null, panel: Pick<Panel, 'sprayedOn'>): number | null {
  if (!panel.sprayedOn || !takenAt) return null
  const days = Math.floor((Date.parse(takenAt.slice(0, 10)) - Date.parse(panel.sprayedOn)) / 86_400_000)
  return days >= 0 ? days : null
}
