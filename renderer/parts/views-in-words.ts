import type { Stage, View } from '../../shared-core/records/colour.ts'

/** Nominal aspecular angles as in ASTM E2194. */
export const viewInWords: Record<View, string> = {
  'near-glare': 'Near glare 15°',
  face: 'Face 45°',
  flop: 'Flop 110°',
}
export const stageInWords: Record<Stage, string> = {
  wet: 'wet',
  dry: 'dry, no clear',
  cleared: 'cleared',
  cured: 'cured',
}
