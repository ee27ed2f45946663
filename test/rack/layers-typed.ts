import type { Mixture } from '../../shared-core/records/mixture.ts'
import type { Layer } from '../../shared-core/records/panel.ts'

/** Layers and formulas as a painter types them in. */

export const layer = (kind: Layer['kind'], name: string, more: Partial<Layer> = {}): Layer => ({
  id: null,
  kind,
  name,
  coats: 1,
  mixture: null,
  gunSetup: null,
  booth: null,
  notes: '',
  ...more,
})

/** 4 : 1 in 6 : 1, the trade's own example. */
export const candyMixture = (first: string, second: string): Mixture => ({
  name: '',
  basis: 'volume',
  parts: [
    { amount: 6, unit: 'parts', material: { id: null, name: 'clear carrier', kind: 'carrier' }, mixture: null },
    {
      amount: 1,
      unit: 'parts',
      material: null,
      mixture: {
        name: 'blend',
        basis: 'volume',
        parts: [
          { amount: 4, unit: 'parts', material: { id: null, name: first, kind: 'concentrate' }, mixture: null },
          { amount: 1, unit: 'parts', material: { id: null, name: second, kind: 'concentrate' }, mixture: null },
        ],
      },
    },
  ],
})
