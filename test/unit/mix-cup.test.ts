import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type CupContents, contentsOf, cupOf } from '../../shared-core/mix/cup/contents.ts'
import { gaugeFor, type Measuring, roundToStep } from '../../shared-core/mix/cup/measuring.ts'
import { batchesFor, type PourPlan, planCup, planPour, usualFill } from '../../shared-core/mix/cup/pour-plan.ts'
import { batchesInWords, pourWarnings } from '../../shared-core/mix/cup/pour-words.ts'
import { amountOf, fillCup, largestCup } from '../../shared-core/mix/cup/targets.ts'
import { scaleMixture, sharesOf } from '../../shared-core/mix/quantities.ts'
import {
  compare,
  distance,
  fromNumber,
  multiply,
  rational,
  sum,
  toNumber,
  zero,
} from '../../shared-core/mix/rational.ts'
import type { AmountUnit, Mixture, Part } from '../../shared-core/records/mixture.ts'
import { amounts, materialNamed, mixtures, plainMaterials } from './mixtures.ts'

const part = (amount: number, name: string, unit: AmountUnit = 'parts'): Part => ({
  amount,
  unit,
  material: materialNamed(name),
  mixture: null,
})
const byVolume = (...parts: Part[]): Mixture => ({ name: '', basis: 'volume', parts })
const blend = byVolume(part(4, 'copper'), part(1, 'crimson'))
/** 4 : 1 in 6 : 1: 24 + 6 + 180 of 210 mL. */
const paint = byVolume({ amount: 1, unit: 'parts', material: null, mixture: blend }, part(6, 'carrier'))
const volume = (amount: number) => ({ kind: 'amount', basis: 'volume', amount }) as const
const numbers = (plan: PourPlan) => plan.lines.map(({ rounded }) => toNumber(rounded))
const millilitres = (cup: CupContents) => cup.contents.map(({ volumeMl }) => volumeMl && toNumber(volumeMl))

describe('how much to mix', () => {
  it('fills a volume, cups, and uses up what is left of one ingredient', () => {
    expect(millilitres(fillCup(paint, volume(210)))).toEqual([24, 6, 180])
    const cups = { kind: 'cups', count: 2, cupMl: 140, fill: 0.75 } as const
    expect(millilitres(fillCup(paint, cups))).toEqual([24, 6, 180])
    const rest = { kind: 'use-up', material: materialNamed('crimson'), amount: 6, basis: 'volume' } as const
    expect(millilitres(fillCup(paint, rest))).toEqual([24, 6, 180])
  })

  it('uses up a powder by its grams, and an ingredient that stands in the mixture twice by its sum', () => {
    const flaked = byVolume(part(1, 'carrier'), part(25, 'gold flake', 'grams-per-litre'))
    const flake = { kind: 'use-up', material: materialNamed('gold flake'), amount: 10, basis: 'mass' } as const
    expect(millilitres(fillCup(flaked, flake))).toEqual([400, null])
    expect(() => fillCup(flaked, { ...flake, basis: 'volume' })).toThrow('counted in grams')
    const thinned = byVolume(...paint.parts, part(10, 'carrier', 'percent-on-top'))
    const carrier = { kind: 'use-up', material: materialNamed('carrier'), amount: 201, basis: 'volume' } as const
    expect(millilitres(fillCup(thinned, carrier))).toEqual([24, 6, 180, 21])
  })

  it('refuses nothing, what is not in it, and a mass without a density', () => {
    expect(() => fillCup(paint, volume(0))).toThrow('There is nothing to mix')
    const teal = { kind: 'use-up', material: materialNamed('deep teal'), amount: 6, basis: 'volume' } as const
    expect(() => fillCup(paint, teal)).toThrow('deep teal does not stand in this formula')
    const grams = { kind: 'use-up', material: materialNamed('crimson'), amount: 6, basis: 'mass' } as const
    expect(() => fillCup(paint, grams)).toThrow('The density of crimson is not known')
  })

  it('tells the largest cup from what is on hand, and what runs out first', () => {
    const onHand = [
      { material: materialNamed('copper'), basis: 'volume', amount: 24 },
      { material: materialNamed('carrier'), basis: 'volume', amount: 175 },
      { material: materialNamed('hardener'), basis: 'volume', amount: 0 },
    ] as const
    const found = largestCup(paint, onHand)
    expect(found?.limitedBy.name).toBe('carrier')
    expect(found && amountOf(found.cup, materialNamed('carrier'), 'volume')).toEqual(rational(175n))
    expect(largestCup(paint, [{ ...onHand[0], amount: 0 }])).toBeNull()
  })

  it('adds up to the target to the last rational, whatever the mixture', () => {
    fc.assert(
      fc.property(mixtures(plainMaterials, { oneBasis: true, powders: false }), amounts, (mixture, amount) => {
        const cup = fillCup(mixture, { kind: 'amount', basis: mixture.basis, amount })
        const poured = cup.contents.map((each) => (mixture.basis === 'volume' ? each.volumeMl : each.massG) ?? zero)
        expect(sum(poured)).toEqual(fromNumber(amount))
        expect(mixture.basis === 'volume' ? cup.volumeMl : cup.massG).toEqual(fromNumber(amount))
      }),
    )
  })

  it('uses up exactly what is left, whatever the mixture', () => {
    const densityOf = ({ name }: { name: string }) => 0.7 + name.length / 20
    fc.assert(
      fc.property(mixtures(plainMaterials, { oneBasis: false, powders: true }), amounts, (mixture, amount) => {
        const [first] = sharesOf(mixture, densityOf)
        if (!first) return
        const cup = fillCup(mixture, { kind: 'use-up', material: first.material, amount, basis: 'mass' }, densityOf)
        expect(amountOf(cup, first.material, 'mass')).toEqual(fromNumber(amount))
      }),
    )
  })

  it('is the same whatever number the parts are multiplied by', () => {
    fc.assert(
      fc.property(
        mixtures(plainMaterials, { oneBasis: true, powders: false }),
        fc.integer({ min: 2, max: 97 }),
        (mixture, times) => {
          // Thousandths times a whole number stay short decimals, so that nothing is lost on the way into doubles.
          const many = (each: Mixture): Mixture => ({
            ...each,
            parts: each.parts.map((one) => ({
              ...one,
              amount: one.unit === 'parts' ? Math.round(one.amount * 1000 * times) / 1000 : one.amount,
              mixture: one.mixture && many(one.mixture),
            })),
          })
          expect(sharesOf(many(mixture)).map(({ exact }) => exact.share)).toEqual(
            sharesOf(mixture).map(({ exact }) => exact.share),
          )
        },
      ),
    )
  })
})

describe('pour plan', () => {
  it('says what the cup shows after each ingredient', () => {
    const plan = planPour(fillCup(paint, volume(210)), { by: 'volume', step: 1 })
    expect(plan.lines.map(({ reading }) => reading && toNumber(reading))).toEqual([24, 30, 210])
    expect(plan.rounding.changed).toEqual([])
    expect(plan.rounding.largest).toEqual(zero)
  })

  it('says what the scale shows, by the densities: 0.8, 1.2 and 0.9 kg/L make 19.2, 7.2 and 162 g', () => {
    const densities: Record<string, number> = { copper: 0.8, crimson: 1.2, carrier: 0.9 }
    const densityOf = ({ name }: { name: string }) => densities[name] ?? null
    const plan = planPour(fillCup(paint, volume(210), densityOf), { by: 'mass', step: 0.1 })
    expect(plan.lines.map(({ reading }) => reading && toNumber(reading))).toEqual([19.2, 26.4, 188.4])
    expect(() => planPour(fillCup(paint, volume(210)), { by: 'mass', step: 0.1 })).toThrow('density of copper')
  })

  it('plans a line of nothing as nothing: a trace too small for a number comes back so from its record', () => {
    const material = materialNamed('copper')
    const content = (volumeMl: bigint) => ({
      material,
      path: [],
      powder: false,
      volumeMl: rational(volumeMl),
      massG: null,
    })
    const plan = planPour(cupOf([content(50n), { ...content(0n), material: materialNamed('crimson') }]), {
      by: 'volume',
      step: 1,
    })
    expect(numbers(plan)).toEqual([50, 0])
    expect(toNumber(plan.smallestTotal)).toBe(10)
  })

  it('rounds to the step, and says what became of the shares: 2.4 + 0.6 + 18 mL as 2 + 1 + 18', () => {
    const plan = planPour(fillCup(paint, volume(21)), { by: 'volume', step: 1 })
    expect(numbers(plan)).toEqual([2, 1, 18])
    expect(plan.total).toMatchObject({ exact: rational(21n), rounded: rational(21n), unit: 'mL' })
    // Crimson is 1/21 in place of 1/35: two thirds more.
    expect(plan.rounding.changed[0]).toMatchObject({ material: { name: 'crimson' }, relative: rational(2n, 3n) })
    expect(plan.rounding.largest).toEqual(rational(2n, 105n))
    expect(plan.roundedMixture?.parts.map(({ amount }) => amount)).toEqual([2, 1, 18])
  })

  it('warns below ten steps and below what can be measured, and says which cup is large enough', () => {
    const small = planPour(fillCup(paint, volume(21)), { by: 'volume', step: 1 })
    expect(small.lines.map(({ tooLittle }) => tooLittle)).toEqual(['below-ten-steps', 'below-minimum', null])
    // Ten millilitres of crimson (1/35).
    expect(small.smallestTotal).toEqual(rational(350n))
    expect(pourWarnings(small, 'point')[0]).toBe(
      'copper, crimson: too little to be measured. Mix 350 mL or more, or measure more finely.',
    )
    expect(pourWarnings(small, 'point')[1]).toBe('Rounding gives 67 % more crimson than the formula.')
    expect(pourWarnings(planPour(fillCup(paint, volume(350)), { by: 'volume', step: 1 }), 'point')).toEqual([])
    const exactlyEnough = planPour(fillCup(paint, volume(toNumber(small.smallestTotal))), { by: 'volume', step: 1 })
    expect(exactlyEnough.lines.every(({ tooLittle }) => tooLittle === null)).toBe(true)
  })

  it('counts small amounts in drops, where there is a dropper', () => {
    const plan = planPour(fillCup(paint, volume(21)), { by: 'volume', step: 1, dropMl: 0.05 })
    expect(plan.lines.map(({ drops }) => drops)).toEqual([48, 12, null])
    expect(plan.rounding.changed).toEqual([])
  })

  it('weighs a powder apart in a cup that is filled by volume, and counts it by the litre', () => {
    const flaked = byVolume(part(1, 'carrier'), part(25, 'gold flake', 'grams-per-litre'))
    const plan = planPour(fillCup(flaked, volume(101)), { by: 'volume', step: 5 })
    expect(plan.lines[1]).toMatchObject({ unit: 'g', reading: null, rounded: fromNumber(2.5) })
    expect(plan.lines[0]?.rounded).toEqual(rational(100n))
    // 2.5 g in 100 mL is 25 g/L again.
    expect(plan.rounding.all[1]).toMatchObject({ in: 'grams-per-litre', change: zero })
    expect(plan.roundedMixture?.parts[1]).toMatchObject({ amount: 25, unit: 'grams-per-litre' })
  })

  it('pours the same material in a row at once', () => {
    const twice = byVolume(part(1, 'copper'), part(6, 'carrier'), part(10, 'carrier', 'percent-on-top'))
    const plan = planPour(fillCup(twice, volume(77)), { by: 'volume', step: 1 })
    expect(numbers(plan)).toEqual([10, 67])
  })

  it('is mixed in equal batches where the cup is too small', () => {
    const vessel = { cupMl: rational(100n), fill: usualFill }
    const plan = planCup(fillCup(paint, volume(210)), { by: 'volume', step: 1 }, vessel)
    expect(plan).toMatchObject({ batches: 3, fits: false })
    expect(plan.each.lines.map(({ exact }) => toNumber(exact))).toEqual([8, 2, 60])
    expect(batchesInWords(plan, 'point')).toContain('3 equal cups of 70 mL')
    expect(batchesFor(rational(150n), vessel)).toBe(2)
    expect(batchesFor(rational(151n), vessel)).toBe(3)
    expect(batchesFor(rational(1n), vessel)).toBe(1)
    expect(planCup(fillCup(paint, volume(75)), { by: 'volume', step: 1 }, vessel)).toMatchObject({
      batches: 1,
      fits: true,
    })
  })
})

describe('rounding, whatever the mixture', () => {
  const measurings = fc.constantFrom<Measuring>(
    { by: 'mass', step: 0.01 },
    { by: 'mass', step: 1 },
    { by: 'volume', step: 5 },
    { by: 'volume', step: 1, dropMl: 0.05 },
  )
  const densityOf = ({ name }: { name: string }) => 0.7 + name.length / 20
  const plans = fc
    .tuple(mixtures(plainMaterials, { oneBasis: false, powders: true }), fc.integer({ min: 1, max: 2000 }), measurings)
    .map(([mixture, amount, measuring]) => {
      const cup = contentsOf(scaleMixture(mixture, { basis: measuring.by, amount, of: 'cup' }, densityOf))
      return { measuring, plan: planPour(cup, measuring, densityOf) }
    })

  it('lies within half a step, or is one step', () => {
    fc.assert(
      fc.property(plans, ({ measuring, plan }) => {
        for (const { exact, rounded, powder } of plan.lines) {
          const { step } = gaugeFor(exact, powder, measuring)
          const near = compare(multiply(distance(exact, rounded), rational(2n)), step) <= 0
          expect(near || compare(rounded, step) === 0).toBe(true)
          expect(compare(rounded, zero)).toBeGreaterThan(0)
          expect(roundToStep(rounded, step)).toEqual(rounded)
        }
      }),
    )
  })

  it('never changes a share by more than stated', () => {
    fc.assert(
      fc.property(plans, ({ measuring, plan }) => {
        // Worked in doubles from the amounts alone, by name.
        const sharesBy = (which: 'exact' | 'rounded'): Map<string, number> => {
          const counted = plan.lines.filter(({ powder }) => !(powder && measuring.by === 'volume'))
          const whole = counted.reduce((total, line) => total + toNumber(line[which]), 0)
          const shares = new Map<string, number>()
          for (const line of counted) {
            const before = shares.get(line.material.name) ?? 0
            shares.set(line.material.name, before + toNumber(line[which]) / whole)
          }
          return shares
        }
        const [formula, made] = [sharesBy('exact'), sharesBy('rounded')]
        const worst = Math.max(...[...formula].map(([name, share]) => Math.abs((made.get(name) ?? 0) - share)))
        expect(worst).toBeCloseTo(toNumber(plan.rounding.largest), 12)
      }),
    )
  })
})
