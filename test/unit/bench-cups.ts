import type { CardFacts } from '../../shared-core/label/mix-card/lines.ts'
import { cupLineOf } from '../../shared-core/mix/cup/cup-lines.ts'
import { planPour } from '../../shared-core/mix/cup/pour-plan.ts'
import { fillCup } from '../../shared-core/mix/cup/targets.ts'
import { densityFrom } from '../../shared-core/mix/shelf-facts.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import { type Material, type Mixture, namedMaterial, type Part } from '../../shared-core/records/mixture.ts'

/** Cups as the service starts them, and a shelf in memory. Invented names throughout. */

export const shelved = (name: string, kind: Material['kind'], more: Partial<Material> = {}): Material => ({
  ...namedMaterial(`m ${name}`, name, kind),
  densityKgPerL: 0.9,
  ...more,
})

export const partOf = ({ id, name, kind }: Material, amount: number, unit: Part['unit'] = 'parts'): Part => ({
  amount,
  unit,
  material: { id, name, kind },
  mixture: null,
})

export const mixed = (...parts: Part[]): Mixture => ({ name: '', basis: 'volume', parts })

/** 4 : 1 in 6 : 1. */
export const copper = shelved('copper', 'concentrate')
export const crimson = shelved('crimson', 'concentrate')
export const carrier = shelved('clear carrier', 'carrier')
export const fourToOne = mixed(
  {
    amount: 1,
    unit: 'parts',
    material: null,
    mixture: { ...mixed(partOf(copper, 4), partOf(crimson, 1)), name: 'blend' },
  },
  partOf(carrier, 6),
)

/** Twelve ingredients with long names, flake first: 1 to 8 of dye, 60 carrier, 10 hardener; 15 % reducer on top. */
export const dyes = Array.from({ length: 8 }, (_, i) =>
  shelved(`Tidewater blue green, very strong, from the old stock no. ${i + 1}`, 'concentrate'),
)
export const flake = shelved('Coarse silver flake, washed and dried', 'flake', { flakeMicron: 200 })
export const slow = shelved('Slow carrier for the warmest days of the year', 'carrier')
export const hardener = shelved('Hardener for the slow carrier', 'hardener', { potLifeMin: 90 })
export const reducer = shelved('Slow reducer, unmixed', 'reducer')
export const twelve = mixed(
  partOf(flake, 30, 'grams-per-litre'),
  ...dyes.map((dye, i) => partOf(dye, i + 1)),
  partOf(slow, 60),
  partOf(hardener, 10),
  partOf(reducer, 15, 'percent-on-top'),
)

export const shelf: Material[] = [copper, crimson, carrier, ...dyes, flake, slow, hardener, reducer]

export const byCup = { by: 'volume', step: 1, dropMl: null } as const
export const byScale = { by: 'mass', step: 0.1, dropMl: null } as const

export function cupOf(mixture: Mixture, ml: number, more: Partial<Cup> = {}, materials = shelf): Cup {
  const { measure = byCup, id = 'C-0012' } = more
  const densityOf = densityFrom(materials)
  const whole = fillCup(mixture, { kind: 'amount', basis: 'volume', amount: ml }, densityOf)
  return {
    id,
    code: id,
    title: 'Tank and mudguards',
    customerJobId: null,
    panelId: null,
    mixture,
    target: { basis: 'volume', amount: ml, words: '' },
    measure,
    cupMl: null,
    tipMm: null,
    lines: planPour(whole, measure, densityOf).lines.flatMap((line, at) => cupLineOf(line, `${id} ${at}`) ?? []),
    status: 'pouring',
    startedAt: '2031-05-01T08:00:00Z',
    mixedAt: null,
    mixedBy: '',
    hardenerAt: null,
    standUntil: null,
    potLifeUntil: null,
    notes: '',
    ...more,
  }
}

export const facts = (more: Partial<CardFacts> = {}): CardFacts => ({
  wording: { decimal: 'point', units: 'metric' },
  materials: shelf,
  about: '',
  ...more,
})
