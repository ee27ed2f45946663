import type { LayerKind } from '../../shared-core/records/panel.ts'

export const layerKindInWords: Record<LayerKind, string> = {
  sealer: 'Sealer',
  undercoat: 'Undercoat',
  ground: 'Ground',
  candy: 'Candy',
  solid: 'Solid',
  'mid-coat': 'Mid coat',
  'barrier-clear': 'Barrier clear',
  clear: 'Clear',
}
