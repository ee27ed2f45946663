/**
 * Volume and mass by density. Handbook values (CRC Handbook of Chemistry and Physics) in g/mL, from memory: at 20 °C water
 * 0.9982, acetone 0.7899, toluene 0.8669, butyl acetate 0.8825; at 25 °C acetone 0.7845, toluene 0.8622; water 8.33 lb/US gal.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { densityAt, densityOfCup, massOf, temperatureNote, volumeOf } from '../../shared-core/mix/cup/density.ts'
import { fillCup } from '../../shared-core/mix/cup/targets.ts'
import { fromNumber, rational, toNumber } from '../../shared-core/mix/rational.ts'
import { toRecord } from '../../shared-core/mix/units/unit-table.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { amounts, materialNamed } from '../unit/mixtures.ts'

const handbook = { water: 0.9982, acetone: 0.7899, toluene: 0.8669, 'butyl acetate': 0.8825 } as const

describe('volume and mass', () => {
  it('a litre of water weighs 998.2 g, and 1 kg of toluene fills 1,153.5 mL', () => {
    expect(massOf(rational(1000n), handbook.water)).toEqual(fromNumber(998.2))
    expect(toNumber(volumeOf(rational(1000n), handbook.toluene))).toBeCloseTo(1153.5, 1)
  })

  it('a US gallon of water weighs 8.33 lb', () => {
    const grams = massOf(toRecord(rational(1n), 'volume', 'gal'), handbook.water)
    expect(toNumber(grams) / 453.59237).toBeCloseTo(8.33, 2)
    expect(toNumber(toRecord(fromNumber(8.33), 'density', 'lb/gal'))).toBeCloseTo(handbook.water, 3)
  })

  it('comes back exactly', () => {
    fc.assert(
      fc.property(amounts, fc.constantFrom(...Object.values(handbook)), (amount, density) => {
        expect(volumeOf(massOf(fromNumber(amount), density), density)).toEqual(fromNumber(amount))
      }),
    )
  })

  it('a cup of both: 1 part of acetone and 1 of butyl acetate by volume weigh 0.8362 kg/L', () => {
    const parts = (['acetone', 'butyl acetate'] as const).map((name) => ({
      amount: 1,
      unit: 'parts' as const,
      material: materialNamed(name),
      mixture: null,
    }))
    const thinner: Mixture = { name: '', basis: 'volume', parts }
    const densityOf = ({ name }: { name: string }): number | null => (handbook as Record<string, number>)[name] ?? null
    const cup = fillCup(thinner, { kind: 'amount', basis: 'mass', amount: 836.2 }, densityOf)
    expect(cup.volumeMl).toEqual(rational(1000n))
    expect(densityOfCup(cup)).toEqual(fromNumber(0.8362))
    expect(densityOfCup(fillCup(thinner, { kind: 'amount', basis: 'volume', amount: 10 }))).toBeNull()
  })
})

describe('temperature', () => {
  it('solvents from 20 to 25 °C, with the usual expansion: within 0.3 % of the handbook', () => {
    for (const [at20, at25] of [
      [handbook.acetone, 0.7845],
      [handbook.toluene, 0.8622],
    ] as const) {
      expect(Math.abs(toNumber(densityAt(at20, 25)) / at25 - 1)).toBeLessThan(0.003)
    }
    // With a solvent's own expansion (acetone 1.43 thousandths, from memory) to the last figure of the table but one.
    expect(toNumber(densityAt(handbook.acetone, 25, rational(143n, 100_000n)))).toBeCloseTo(0.7845, 3)
  })

  it('is what it is at 20 °C, and falls as it gets warmer', () => {
    expect(densityAt(handbook.toluene, 20)).toEqual(fromNumber(handbook.toluene))
    expect(toNumber(densityAt(handbook.toluene, 35))).toBeLessThan(handbook.toluene)
    expect(toNumber(densityAt(handbook.toluene, 5))).toBeGreaterThan(handbook.toluene)
  })

  it('is told where it matters', () => {
    expect(temperatureNote(22, 'metric', 'point')).toBeNull()
    expect(temperatureNote(35, 'metric', 'comma')).toContain(
      'At 35 °C a litre of solvent-borne paint is about 1,5 % lighter',
    )
    expect(temperatureNote(8, 'us', 'point')).toContain('At 46 °F')
  })
})
