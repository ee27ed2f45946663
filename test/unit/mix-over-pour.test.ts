import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { cupLineOf, planLines, pouringLines } from '../../shared-core/mix/cup/cup-lines.ts'
import { gaugeFor, type Measuring, roundToStep } from '../../shared-core/mix/cup/measuring.ts'
import { type PouringLine, pouredFromReading, type RestOfCup, restOfCup } from '../../shared-core/mix/cup/over-pour.ts'
import { overPourInWords } from '../../shared-core/mix/cup/over-pour-words.ts'
import { planPour } from '../../shared-core/mix/cup/pour-plan.ts'
import { fillCup } from '../../shared-core/mix/cup/targets.ts'
import {
  add,
  compare,
  divide,
  fromNumber,
  multiply,
  one,
  type Rational,
  rational,
  subtract,
  toNumber,
  zero,
} from '../../shared-core/mix/rational.ts'
import { materialNamed, mixtures, plainMaterials } from './mixtures.ts'

const scale: Measuring = { by: 'mass', step: 0.1 }
const line = (name: string, amount: number, poured: number | null, powder = false): PouringLine => ({
  material: materialNamed(name),
  powder,
  amount: fromNumber(amount),
  poured: poured === null ? null : fromNumber(poured),
})
const cup = (...poured: (number | null)[]): PouringLine[] => [
  line('copper', 24, poured[0] ?? null),
  line('crimson', 6, poured[1] ?? null),
  line('carrier', 180, poured[2] ?? null),
]
const figures = (rest: RestOfCup, key: 'wanted' | 'missing' | 'toPour') => rest.lines.map((each) => toNumber(each[key]))

describe('what is left to do', () => {
  it('is the plan, when nothing was poured', () => {
    const rest = restOfCup(cup(), scale)
    expect(rest.factor).toEqual(one)
    expect(figures(rest, 'toPour')).toEqual([24, 6, 180])
    expect(rest.lines.map(({ reading }) => reading && toNumber(reading))).toEqual([24, 30, 210])
    expect(rest.keepGoing).toBeNull()
  })

  it('grows everything when too much was poured: 7.5 g for 6 is a quarter more', () => {
    const rest = restOfCup(cup(24, 7.5), scale)
    expect(rest.factor).toEqual(rational(5n, 4n))
    expect(figures(rest, 'wanted')).toEqual([30, 7.5, 225])
    expect(figures(rest, 'missing')).toEqual([6, 0, 225])
    expect(rest.lines.map(({ topUp, over }) => [topUp, over])).toEqual([
      [true, false],
      [false, true],
      [false, false],
    ])
    expect(rest.lines.map(({ reading }) => reading && toNumber(reading))).toEqual([37.5, 37.5, 262.5])
    expect(rest.total).toEqual(fromNumber(262.5))
  })

  it('says what accepting it would do: 7.5 of 211.5 in place of 6 of 210', () => {
    const { keepGoing } = restOfCup(cup(24, 7.5), scale)
    const crimson = keepGoing?.shares.all[1]
    expect(crimson?.became).toEqual(rational(15n, 423n))
    expect(keepGoing?.shares.changed[0]?.material.name).toBe('crimson')
    expect(keepGoing?.mixture?.parts.map(({ amount }) => amount)).toEqual([24, 7.5, 180])
  })

  it('says it all in words', () => {
    const vessel = { cupMl: rational(320n), fill: rational(3n, 4n) }
    const rest = restOfCup(cup(24, 7.5), scale, vessel, () => 1)
    expect(overPourInWords(rest, scale, 'point')).toEqual([
      'More crimson than was asked for: the cup grows by 25 % to 262.5 g.',
      'Top up 6 g copper. The rest grows with it.',
      'That is more than this cup takes.',
      'Or leave the rest as it was: then there is 24.1 % more crimson than the formula says.',
    ])
    expect(overPourInWords(restOfCup(cup(24), scale), scale, 'point')).toEqual([])
  })

  it('tops up what was poured too little, and leaves the others alone', () => {
    const rest = restOfCup(cup(20, 6), scale)
    expect(rest.factor).toEqual(one)
    expect(figures(rest, 'toPour')).toEqual([4, 0, 180])
  })

  it('lets half a step pass, and the whole step that a small amount was rounded up to', () => {
    expect(restOfCup(cup(24.05, 5.95), scale).factor).toEqual(one)
    expect(restOfCup(cup(24.1), scale).factor).toEqual(rational(241n, 240n))
    const tiny = [line('copper', 24, null), line('crimson', 0.02, 0.1)]
    expect(restOfCup(tiny, scale).factor).toEqual(one)
  })

  it('takes the one that was poured furthest, in any order, and a reading can be taken back', () => {
    expect(restOfCup(cup(30, 9), scale).factor).toEqual(rational(3n, 2n))
    expect(restOfCup(cup(36, 7), scale).factor).toEqual(rational(3n, 2n))
    expect(restOfCup(cup(36, null, 180), scale).factor).toEqual(rational(3n, 2n))
    expect(restOfCup(cup(null, null, 180), scale).factor).toEqual(one)
  })

  it('says whether it still fits, by the densities', () => {
    const vessel = { cupMl: rational(320n), fill: rational(3n, 4n) }
    expect(restOfCup(cup(24, 6), scale, vessel, () => 1).fits).toBe(true)
    expect(restOfCup(cup(24, 7.5), scale, vessel, () => 1)).toMatchObject({ fits: false, volumeMl: fromNumber(262.5) })
    expect(restOfCup(cup(24, 7.5), scale, vessel).fits).toBeNull()
    expect(restOfCup(cup(24, 7.5), { by: 'volume', step: 0.5 }, vessel).fits).toBe(false)
  })

  it('grows a powder with the rest, in grams, and not in the reading of a measuring cup', () => {
    const rest = restOfCup([line('carrier', 100, 110), line('gold flake', 2.5, 2.5, true)], { by: 'volume', step: 1 })
    expect(rest.lines[1]).toMatchObject({ missing: fromNumber(0.25), reading: null })
    expect(rest.total).toEqual(rational(110n))
  })
})

describe('readings', () => {
  it('are what scale or cup says, with everything else in it', () => {
    expect(pouredFromReading(cup(24), 1, fromNumber(31.5), scale)).toEqual(fromNumber(7.5))
    expect(pouredFromReading(cup(24, 6), 0, fromNumber(31), scale)).toEqual(rational(25n))
    expect(() => pouredFromReading(cup(24), 1, rational(20n), scale)).toThrow('less than the 24 g')
    const powder = [line('carrier', 100, 100), line('gold flake', 2.5, null, true)]
    expect(pouredFromReading(powder, 1, fromNumber(2.5), { by: 'volume', step: 1 })).toEqual(fromNumber(2.5))
  })
})

describe('whatever the mixture', () => {
  const densityOf = ({ name }: { name: string }) => 0.7 + name.length / 20
  const cups = fc
    .tuple(
      mixtures(plainMaterials, { oneBasis: false, powders: true }),
      fc.integer({ min: 50, max: 2000 }),
      fc.constantFrom<Measuring>(
        { by: 'mass', step: 0.01 },
        { by: 'mass', step: 1 },
        { by: 'volume', step: 1, dropMl: 0.05 },
      ),
      fc.array(fc.option(fc.integer({ min: 0, max: 3000 }), { freq: 2 }), { minLength: 30, maxLength: 30 }),
    )
    .map(([mixture, amount, measuring, thousandths]) => {
      const target = { kind: 'amount', basis: measuring.by, amount } as const
      const plan = planPour(fillCup(mixture, target, densityOf), measuring, densityOf)
      // From nothing to three times what was wanted, in steps of what is measured with.
      const poured = plan.lines.map(({ exact, powder }, index) => {
        const times = thousandths[index]
        if (times === null || times === undefined) return null
        return roundToStep(multiply(exact, rational(BigInt(times), 1000n)), gaugeFor(exact, powder, measuring).step)
      })
      return { measuring, lines: planLines(plan.lines, poured) }
    })
  const finish = (rest: RestOfCup): PouringLine[] =>
    rest.lines.map(({ material, powder, amount, poured, toPour }) => ({
      material,
      powder,
      amount,
      poured: add(poured ?? zero, toPour),
    }))

  it('keeps every ratio of the formula, exactly', () => {
    fc.assert(
      fc.property(cups, ({ lines, measuring }) => {
        const rest = restOfCup(lines, measuring)
        const [first] = rest.lines
        for (const each of rest.lines) {
          if (!first) return
          expect(divide(each.wanted, first.wanted)).toEqual(divide(each.amount, first.amount))
          // In the cup and still to come are what is wanted, or differ by less than can be measured.
          const reached: Rational = add(each.poured ?? zero, each.missing)
          const { step } = gaugeFor(each.wanted, each.powder, measuring)
          const off = subtract(reached, each.wanted)
          expect(compare(off, step)).toBeLessThanOrEqual(0)
          expect(compare(multiply(off, rational(-2n)), step)).toBeLessThanOrEqual(0)
        }
      }),
    )
  })

  it('grows only as far as something in the cup asks for', () => {
    fc.assert(
      fc.property(cups, ({ lines, measuring }) => {
        const { factor } = restOfCup(lines, measuring)
        const asked = lines.some(({ poured, amount }) => poured && compare(divide(poured, amount), factor) === 0)
        expect(compare(factor, one) === 0 || asked).toBe(true)
      }),
    )
  })

  it('is done after what it says was poured: nothing is asked for again, and nothing grows further', () => {
    fc.assert(
      fc.property(cups, ({ lines, measuring }) => {
        const before = restOfCup(lines, measuring)
        const after = restOfCup(finish(before), measuring)
        expect(compare(after.factor, before.factor)).toBeLessThanOrEqual(0)
        expect(after.lines.every(({ missing }) => compare(missing, zero) === 0)).toBe(true)
      }),
    )
  })

  it('does not depend on the order in which it was poured', () => {
    fc.assert(
      fc.property(cups, ({ lines, measuring }) => {
        expect(restOfCup(lines.toReversed(), measuring).factor).toEqual(restOfCup(lines, measuring).factor)
      }),
    )
  })
})

it('a kept cup goes on where it was', () => {
  const paint = fillCup(
    {
      name: '',
      basis: 'mass',
      parts: cup().map(({ material, amount }) => ({
        amount: toNumber(amount),
        unit: 'parts',
        material: { ...material, id: `id of ${material.name}` },
        mixture: null,
      })),
    },
    { kind: 'amount', basis: 'mass', amount: 210 },
  )
  const kept = planPour(paint, scale).lines.flatMap((each, index) => cupLineOf(each, `line ${index}`) ?? [])
  const poured = kept.map((each, index) => (index === 1 ? { ...each, poured: 7.5 } : each))
  expect(restOfCup(pouringLines(poured), scale).factor).toEqual(rational(5n, 4n))
})
