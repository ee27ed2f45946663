import type { Mixture } from '../../../shared-core/records/mixture.ts'
import type { Layer, PanelDraft } from '../../../shared-core/records/panel.ts'
import type { Random } from '../fuzz/random.ts'

const grounds = ['bright gold', 'fine silver', 'charcoal', 'white']
const dyes = ['Damson', 'Bracken', 'Ember', 'Tidewater', 'Copper']
const notes = ['', 'two passes', 'ran at the lower edge; sanded', 'ünder the lamp: 42°', 'as the one before']

const candy = (random: Random): Mixture => ({
  name: '',
  basis: 'volume',
  parts: [
    { amount: 6, unit: 'parts', material: { id: null, name: 'clear carrier', kind: 'carrier' }, mixture: null },
    {
      amount: 1 + random.int(4),
      unit: 'parts',
      material: { id: null, name: random.pick(dyes), kind: 'concentrate' },
      mixture: null,
    },
  ],
})

const layer = (kind: Layer['kind'], name: string, coats: number, mixture: Mixture | null = null): Layer => ({
  id: null,
  kind,
  name,
  coats,
  mixture,
  gunSetup: null,
  booth: null,
  notes: '',
})

/** A new panel as a painter types it in. */
export function newDraft(random: Random, title: string): PanelDraft {
  const steps = 1 + random.int(4)
  return {
    id: null,
    code: null,
    title,
    status: 'sprayed',
    sprayedOn: `2025-0${1 + random.int(9)}-1${random.int(10)}`,
    sprayedBy: 'Wren',
    substrate: 'aluminium 100 × 150',
    notes: random.pick(notes),
    tags: random.chance(0.5) ? ['tank'] : [],
    layers: [
      layer('ground', random.pick(grounds), 2),
      layer('candy', '', steps, candy(random)),
      layer('clear', 'gloss clear', 2),
    ],
    steps: Array.from({ length: steps }, (_, i) => ({ id: null, coats: i + 1, notes: '' })),
  }
}
