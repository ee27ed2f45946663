import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import { recipeOfFormula } from '../../shared-core/film/formula.ts'
import { between, placeOf } from '../../shared-core/film/gaps/places.ts'
import { findGaps } from '../../shared-core/film/gaps.ts'
import { predictRecipe } from '../../shared-core/film/predict.ts'
import type { SuggestOptions } from '../../shared-core/film/suggest.ts'
import { usualFit, usualRack, withObservations } from './film-racks.ts'

const options: SuggestOptions = {
  grounds: null,
  candies: null,
  maxCandies: 3,
  maxParts: 12,
  maxCoats: 6,
  carrierFrom: 4,
  carrierTo: 12,
  reducerPercent: 0,
  hardenerPercent: 0,
  gun: null,
  count: 12,
}

describe('gaps', () => {
  const gaps = findGaps(usualFit, options)

  it('lie far from every reading and from one another, the widest first', () => {
    expect(gaps.length).toBe(options.count)
    gaps.forEach(({ recipe, formula, coats, prediction, nearest, nearestId }, i) => {
      expect(recipe).toEqual(recipeOfFormula(formula, coats))
      expect(prediction).toEqual(predictRecipe(usualFit, recipe))
      const all = usualFit.observations.map(({ id, lab }) => ({ id, de00: differenceCiede2000(lab, prediction.lab) }))
      const closest = all.reduce((a, b) => (b.de00 < a.de00 ? b : a))
      expect([nearest, nearestId]).toEqual([closest.de00, closest.id])
      expect(nearest).toBeGreaterThan(2)
      expect(nearest).toBeLessThanOrEqual(gaps[i - 1]?.nearest ?? Number.POSITIVE_INFINITY)
      for (const other of gaps.slice(0, i))
        expect(differenceCiede2000(other.prediction.lab, prediction.lab)).toBeGreaterThan(2)
    })
  })

  it('are no guesses, and within the limits', () => {
    const few = { ...options, grounds: ['ground-1', 'ground-2'], candies: ['candy-1', 'candy-2'], maxCoats: 3 }
    for (const [found, given] of [
      [gaps, options],
      [findGaps(usualFit, few), few],
      [findGaps(usualFit, { ...few, maxCandies: 1 }), { ...few, maxCandies: 1 }],
    ] as const)
      for (const { formula, coats, prediction } of found) {
        expect(prediction.bound90).toBeLessThan(6)
        expect(coats).toBeLessThanOrEqual(given.maxCoats)
        expect(formula.candies.length).toBeLessThanOrEqual(given.maxCandies)
        expect(formula.carrierParts).toBeGreaterThanOrEqual(given.carrierFrom)
        expect(given.grounds ?? [...usualFit.grounds.keys()]).toContain(formula.ground)
        for (const { id } of formula.candies) expect(given.candies ?? [...usualFit.absorbance.keys()]).toContain(id)
      }
  })

  it('close when they are sprayed', () => {
    const sprayed = gaps.map(({ recipe, prediction }, k) => ({
      ...recipe,
      id: `gap-${k}`,
      panel: `gap-${k}`,
      lab: prediction.lab,
      noise: 1,
      shared: [],
    }))
    const { library } = usualRack
    const then = fitFilm(withObservations(library, [...library.observations, ...sprayed]))
    const left = findGaps(then, options)
    expect(left[0]!.nearest).toBeLessThan(0.8 * gaps[0]!.nearest)
  })

  it('are none where nothing is known', () => {
    const empty = fitFilm({ observations: [], groundKinds: new Map(), scatterPerCoat: null })
    expect(findGaps(empty, options)).toEqual([])
    expect(findGaps(usualFit, { ...options, candies: [] })).toEqual([])
  })
})

it('finds neighbours by plain distances that are near CIEDE2000 for colours that are near', () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true })
  const ratios: number[] = []
  fc.assert(
    fc.property(
      number(15, 90),
      number(-60, 60),
      number(-60, 60),
      number(0, 6.28),
      number(-1, 1),
      (l, a, b, turn, up) => {
        const one = { l, a, b }
        const other = { l: l + 2 * up, a: a + 2 * Math.cos(turn), b: b + 2 * Math.sin(turn) }
        const ratio = between(placeOf(one), placeOf(other)) / differenceCiede2000(one, other)
        ratios.push(ratio)
        expect(ratio).toBeGreaterThan(0.4)
        expect(ratio).toBeLessThan(2)
      },
    ),
    { numRuns: 300 },
  )
  const middle = ratios.toSorted((a, b) => a - b)[ratios.length >> 1]!
  expect(middle).toBeGreaterThan(0.75)
  expect(middle).toBeLessThan(1.25)
})
