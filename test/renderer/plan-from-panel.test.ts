import { describe, expect, it } from 'vitest'
import { planFormulaOf } from '../../shared-core/film/formula-of-panel.ts'
import type { Mixture, Part } from '../../shared-core/records/mixture.ts'
import type { Layer } from '../../shared-core/records/panel.ts'
import { panel } from './sample-rack.ts'

const part = (
  name: string,
  kind: 'concentrate' | 'carrier' | 'reducer' | 'hardener' | 'base',
  amount: number,
): Part => ({
  amount,
  unit: 'parts',
  material: { id: name, name, kind },
  mixture: null,
})
const onTop = (each: Part): Part => ({ ...each, unit: 'percent-on-top' })
const inside = (amount: number, ...parts: Part[]): Part => ({
  amount,
  unit: 'parts',
  material: null,
  mixture: { name: 'blend', basis: 'volume', parts },
})
const layer = (kind: Layer['kind'], coats: number, parts: Part[] | null = null, more: Partial<Layer> = {}): Layer => ({
  id: null,
  kind,
  name: '',
  coats,
  mixture: parts && { name: '', basis: 'volume', parts },
  gunSetup: null,
  booth: null,
  notes: '',
  ...more,
})
const nested = [
  inside(1, part('ember', 'concentrate', 4), part('kestrel', 'concentrate', 1)),
  part('carrier', 'carrier', 6),
  onTop(part('reducer', 'reducer', 5)),
]

describe('a panel’s formula as the sliders say it', () => {
  it('a nested blend with carrier, reducer, gun and clear', () => {
    expect(planFormulaOf({ layers: [layer('ground', 2), layer('candy', 4, nested), layer('clear', 2)] })).toEqual({
      ok: true,
      formula: {
        candies: [
          { id: 'ember', parts: 4 },
          { id: 'kestrel', parts: 1 },
        ],
        carrierParts: 6,
        reducerPercent: 5,
        hardenerPercent: 0,
        under: null,
        over: null,
        gunSetupId: null,
        finish: 'cleared',
      },
    })
  })

  it('the same cup written flat is the same formula', () => {
    const flat = [
      part('ember', 'concentrate', 4),
      part('kestrel', 'concentrate', 1),
      part('carrier', 'carrier', 30),
      onTop(part('reducer', 'reducer', 5)),
    ]
    const clear = layer('clear', 2)
    expect(planFormulaOf({ layers: [layer('candy', 4, flat), clear] })).toEqual(
      planFormulaOf({ layers: [layer('candy', 4, nested), clear] }),
    )
  })

  it('a mid coat under or over it, by its name or by its pearl; no clear is as sprayed', () => {
    const pearl: Part = {
      amount: 20,
      unit: 'grams-per-litre',
      material: { id: 'p', name: 'Hoarfrost Pearl', kind: 'pearl' },
      mixture: null,
    }
    const layers = [
      layer('mid-coat', 2, null, { name: 'Minnow  Blue' }),
      layer('candy', 4, nested),
      layer('mid-coat', 1, [part('carrier', 'carrier', 1), pearl]),
      layer('mid-coat', 1, [part('carrier', 'carrier', 1), pearl]),
    ]
    expect(planFormulaOf({ layers })).toMatchObject({
      ok: true,
      formula: {
        under: { id: 'minnow blue', coats: 2 },
        over: { id: 'hoarfrost pearl', coats: 2 },
        finish: 'uncleared',
      },
    })
  })

  it.each<[string, Layer[], RegExp]>([
    ['no candy', [layer('solid', 2)], /no candy/],
    ['two candies', [layer('candy', 2, nested), layer('candy', 2, nested)], /Several candies/],
    ['no formula', [layer('candy', 2)], /not written down/],
    ['a base in it', [layer('candy', 2, [part('ember', 'concentrate', 1), part('black', 'base', 1)])], /black/],
    [
      'by mass',
      [layer('candy', 2, null, { mixture: { name: '', basis: 'mass', parts: nested } satisfies Mixture })],
      /mass/,
    ],
    ['carrier alone', [layer('candy', 2, [part('carrier', 'carrier', 1)])], /no concentrate/],
  ])('says why not: %s', (_, layers, why) => {
    const found = planFormulaOf({ layers })
    expect(found).toMatchObject({ ok: false })
    expect(!found.ok && found.why).toMatch(why)
  })

  it('a material that the shelf does not have yet cannot be named by the sliders', () => {
    expect(planFormulaOf(panel)).toEqual({ ok: false, why: 'Ember is not on the shelf yet.' })
  })
})
