/**
 * Quantities. Check value of the trade, common practice, no source: 4 : 1 blend in 6 : 1 carrier, 210 mL = 24 + 6 + 180 mL.
 * Everything else is worked by hand beside the check, or is a property that any right division has.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { scaleMixture, sharesOf } from '../../shared-core/mix/quantities.ts'
import { add, equal, fromNumber, multiply, rational, sum, toNumber } from '../../shared-core/mix/rational.ts'
import type { AmountUnit, Mixture, Part } from '../../shared-core/records/mixture.ts'
import { amounts, materialNamed, mixtures, plainMaterials } from '../unit/mixtures.ts'

const part = (amount: number, name: string, unit: AmountUnit = 'parts'): Part => ({
  amount,
  unit,
  material: materialNamed(name),
  mixture: null,
})
const inside = (amount: number, mixture: Mixture, unit: AmountUnit = 'parts'): Part => ({
  amount,
  unit,
  material: null,
  mixture,
})
const byVolume = (...parts: Part[]): Mixture => ({ name: 'blend', basis: 'volume', parts })
const byMass = (...parts: Part[]): Mixture => ({ name: 'blend', basis: 'mass', parts })
const blend = byVolume(part(4, 'copper'), part(1, 'crimson'))
const paint = byVolume(inside(1, blend), part(6, 'carrier'))

const refusalOf = (work: () => unknown): Refusal => {
  try {
    work()
  } catch (error) {
    if (error instanceof Refusal) return error
    throw error
  }
  throw new Error('Nothing was refused.')
}

describe('4 : 1 in 6 : 1 (common practice, no source)', () => {
  it('makes 24 + 6 + 180 of 210 mL', () => {
    const { ingredients, totalVolumeMl } = scaleMixture(paint, { basis: 'volume', amount: 210, of: 'cup' })
    expect(ingredients.map(({ material, volumeMl }) => [material.name, volumeMl])).toEqual([
      ['copper', 24],
      ['crimson', 6],
      ['carrier', 180],
    ])
    expect(ingredients.map(({ path }) => path)).toEqual([['blend'], ['blend'], []])
    expect(ingredients.every(({ massG }) => massG === null)).toBe(true)
    expect(totalVolumeMl).toBe(210)
  })

  it('is 4/35, 1/35 and 30/35 of the cup, exactly', () => {
    expect(sharesOf(paint).map(({ exact }) => exact.share)).toEqual([
      rational(4n, 35n),
      rational(1n, 35n),
      rational(30n, 35n),
    ])
  })
})

describe('percentages and powders, worked by hand', () => {
  const reduced = byVolume(...paint.parts, part(5, 'slow reducer', 'percent-on-top'))

  it('adds 5 % on top of 100 mL: 105 mL', () => {
    const { ingredients, totalVolumeMl } = scaleMixture(reduced, { basis: 'volume', amount: 100, of: 'body' })
    expect(ingredients.at(-1)?.volumeMl).toBe(5)
    expect(totalVolumeMl).toBe(105)
  })

  it('fits 5 % on top into a cup of 105 mL', () => {
    const { ingredients } = scaleMixture(reduced, { basis: 'volume', amount: 105, of: 'cup' })
    expect(ingredients.at(-1)?.volumeMl).toBe(5)
  })

  it('gives percentages of the total their share first: 10 % of 200 mL, and 3 : 1 of the other 180', () => {
    const mixture = byVolume(part(3, 'copper'), part(10, 'hardener', 'percent-of-total'), part(1, 'crimson'))
    const { ingredients } = scaleMixture(mixture, { basis: 'volume', amount: 200, of: 'cup' })
    expect(ingredients.map(({ volumeMl }) => volumeMl)).toEqual([135, 20, 45])
  })

  it('counts grams per litre by the other contents, and not their volume: 25 g/L in 400 mL is 10 g', () => {
    const mixture = byVolume(part(1, 'carrier'), part(25, 'violet pearl', 'grams-per-litre'))
    const { ingredients, totalVolumeMl } = scaleMixture(mixture, { basis: 'volume', amount: 400, of: 'cup' })
    expect(ingredients[0]).toMatchObject({ volumeMl: 400, share: 1 })
    expect(ingredients[1]).toMatchObject({ powder: true, volumeMl: null, massG: 10, share: null })
    expect(totalVolumeMl).toBe(400)
  })

  it('counts powders in a cup that is filled by mass: 1 L of 0.9 kg/L and 100 g is a cup of 1000 g', () => {
    const mixture = byMass(part(1, 'carrier'), part(100, 'violet pearl', 'grams-per-litre'))
    const { ingredients } = scaleMixture(mixture, { basis: 'mass', amount: 1000, of: 'cup' }, () => 0.9)
    expect(ingredients.map(({ massG }) => massG)).toEqual([900, 100])
    expect(ingredients[0]?.volumeMl).toBe(1000)
  })

  it('refuses percentages that leave nothing or too much', () => {
    const volume = { basis: 'volume', amount: 100, of: 'cup' } as const
    const over = byVolume(part(1, 'copper'), part(100, 'carrier', 'percent-of-total'))
    const under = byVolume(part(30, 'copper', 'percent-of-total'), part(60, 'carrier', 'percent-of-total'))
    const nothing = byVolume(part(10, 'slow reducer', 'percent-on-top'))
    expect(refusalOf(() => scaleMixture(over, volume)).code).toBe('mix/over-100-percent')
    expect(refusalOf(() => scaleMixture(under, volume)).message).toContain('90 %')
    expect(refusalOf(() => scaleMixture(nothing, volume)).code).toBe('mix/not-100-percent')
  })
})

describe('volume and mass', () => {
  const densities: Record<string, number> = { copper: 0.8, crimson: 1.2, carrier: 0.9 }

  it('converts with the densities given: equal masses of 0.8 and 1.2 kg/L fill 3 : 2', () => {
    const mixture = byMass(part(1, 'copper'), part(1, 'crimson'))
    const target = { basis: 'volume', amount: 100, of: 'cup' } as const
    const { ingredients, totalMassG } = scaleMixture(mixture, target, ({ name }) => densities[name] ?? null)
    expect(ingredients.map(({ volumeMl }) => volumeMl)).toEqual([60, 40])
    expect(ingredients.map(({ massG }) => massG)).toEqual([48, 48])
    expect(totalMassG).toBe(96)
  })

  it('puts a blend by mass into a carrier by volume', () => {
    const mixture = byVolume(inside(1, byMass(part(1, 'copper'), part(1, 'crimson'))), part(6, 'carrier'))
    const target = { basis: 'volume', amount: 700, of: 'cup' } as const
    const { ingredients } = scaleMixture(mixture, target, ({ name }) => densities[name] ?? null)
    expect(ingredients.map(({ volumeMl }) => volumeMl)).toEqual([60, 40, 600])
    expect(ingredients.map(({ massG }) => massG)).toEqual([48, 48, 540])
  })

  it('refuses to convert without a density, naming the material that lacks it', () => {
    const known = ({ name }: { name: string }) => (name === 'crimson' ? null : (densities[name] ?? null))
    const refusal = refusalOf(() => scaleMixture(paint, { basis: 'mass', amount: 100, of: 'cup' }, known))
    expect(refusal.code).toBe('mix/no-density')
    expect(refusal.message).toContain('crimson')
    expect(refusal.message).not.toContain('copper')
  })
})

describe('properties', () => {
  const oneBasis = mixtures(plainMaterials, { oneBasis: true, powders: false })

  it('adds up to the target exactly, and shares to 1', () => {
    fc.assert(
      fc.property(oneBasis, amounts, (mixture, amount) => {
        const { ingredients } = scaleMixture(mixture, { basis: mixture.basis, amount, of: 'cup' })
        const poured = ingredients.map(({ exact }) => (mixture.basis === 'volume' ? exact.volume : exact.mass))
        expect(sum(poured.map((each) => each ?? rational(0n)))).toEqual(fromNumber(amount))
        expect(sum(ingredients.map(({ exact }) => exact.share ?? rational(0n)))).toEqual(rational(1n))
      }),
    )
  })

  it('comes to the same nested as flattened into its shares', () => {
    fc.assert(
      fc.property(oneBasis, amounts, (mixture, amount) => {
        const target = { basis: mixture.basis, amount, of: 'cup' } as const
        const shares = sharesOf(mixture)
        const flat: Mixture = {
          ...mixture,
          parts: shares.map(({ material, share }) => ({ amount: share ?? 1, unit: 'parts', material, mixture: null })),
        }
        const key = mixture.basis === 'volume' ? 'volumeMl' : 'massG'
        const nested = scaleMixture(mixture, target).ingredients
        // Shares are rounded to doubles on their way into the flat mixture.
        for (const [index, each] of scaleMixture(flat, target).ingredients.entries()) {
          expect(each[key]).toBeCloseTo(nested[index]?.[key] ?? Number.NaN, 9)
        }
      }),
    )
  })

  it('scales in proportion, exactly, with powders and mixed bases too', () => {
    const densityOf = ({ name }: { name: string }) => 0.7 + name.length / 20
    const any = mixtures(plainMaterials, { oneBasis: false, powders: true })
    fc.assert(
      fc.property(any, fc.integer({ min: 1, max: 900 }), fc.integer({ min: 2, max: 9 }), (mixture, amount, times) => {
        const pour = (total: number) =>
          scaleMixture(mixture, { basis: 'volume', amount: total, of: 'body' }, densityOf).ingredients
        const single = pour(amount)
        for (const [index, { exact }] of pour(amount * times).entries()) {
          const mass = single[index]?.exact.mass
          expect(mass && exact.mass && equal(multiply(mass, fromNumber(times)), exact.mass)).toBe(true)
        }
      }),
    )
  })

  it('keeps the order of the parts', () => {
    const names = scaleMixture(paint, { basis: 'volume', amount: 1, of: 'cup' }).ingredients.map((e) => e.material.name)
    expect(names).toEqual(['copper', 'crimson', 'carrier'])
  })

  it('reads numbers as the decimals they are written as, and gives them back', () => {
    expect(add(fromNumber(0.1), fromNumber(0.2))).toEqual(rational(3n, 10n))
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        const back = toNumber(fromNumber(value))
        expect(Math.abs(back - value)).toBeLessThanOrEqual(Math.abs(value) * 2 ** -50 + Number.MIN_VALUE)
      }),
    )
  })
})
