import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import type { FilmFit } from '../../shared-core/film/fitted.ts'
import { withBelieved } from '../../shared-core/film/next/believed.ts'
import { afterLesson, lessen, lessonOf } from '../../shared-core/film/next/learning.ts'
import { panelsOfRack, panelsOfTable, probesOfRack, probesOfTable } from '../../shared-core/film/next/panels.ts'
import { type FilmPanel, type FilmProbe, planNext, stepsOf } from '../../shared-core/film/next.ts'
import { predictLab, predictRecipe } from '../../shared-core/film/predict.ts'
import type { FilmObservation } from '../../shared-core/film/recipe.ts'
import { type Rack, rackOf } from '../worlds/rack.ts'
import { misread } from '../worlds/readings.ts'
import { pickSome } from '../worlds/spectra.ts'
import { labOf } from '../worlds/world.ts'
import { single, usual, usualFit, usualRack, withObservations } from './film-racks.ts'

const having = (fit: FilmFit) => ({ grounds: [...fit.grounds.keys()], candies: [...fit.absorbance.keys()] })

/** Weighted mean of the bounds, worked out recipe by recipe. */
function meanBound(fit: FilmFit, probes: readonly FilmProbe[]): number {
  const total = probes.reduce((sum, { weight }) => sum + weight, 0)
  return probes.reduce((sum, { recipe, weight }) => sum + (weight * predictRecipe(fit, recipe)!.bound90) / total, 0)
}

/** The rack with a panel really sprayed and read. */
function sprayedToo({ world, library }: Rack, panel: FilmPanel, seed: string): FilmFit {
  const random = randomFrom(seed)
  const build = Math.exp(0.06 * random.normal())
  const read = stepsOf(panel).map(
    (step, s): FilmObservation => ({
      ...step,
      id: `new/${s}`,
      panel: 'new',
      lab: misread(random, labOf(world, step, { build, raw: 1 }), 1),
      noise: 1,
      shared: [],
    }),
  )
  return fitFilm(withObservations(library, [...library.observations, ...read]))
}

/** Half a rack, so that there is something to learn. */
function halfRack(seed: string): Rack {
  const rack = rackOf(seed, { ...usual, candies: 3 })
  const some = pickSome(randomFrom(`${seed}/half`), rack.library.observations, 16)
  return { ...rack, library: withObservations(rack.library, some) }
}

describe('the panels that teach most', () => {
  const racks = ['a', 'b', 'c', 'd', 'e', 'f'].map((seed) => {
    const rack = halfRack(`film-next/${seed}`)
    const fit = fitFilm(rack.library)
    return {
      seed,
      rack,
      fit,
      probes: probesOfRack(fit.observations, having(fit)),
      panels: panelsOfRack(fit.observations, having(fit)),
    }
  })

  it('lower the bounds when they are sprayed, by about as much as was said', () => {
    const ratios = racks.map(({ seed, rack, fit, probes, panels }) => {
      const [first] = planNext(fit, probes, panels, 1)
      expect(first!.boundNow).toBeCloseTo(meanBound(fit, probes), 6)
      const then = meanBound(sprayedToo(rack, first!.panel, seed), probes)
      expect(then).toBeLessThan(first!.boundNow)
      return (first!.boundNow - then) / (first!.boundNow - first!.boundThen)
    })
    expect(quantile(ratios, 0.5)).toBeGreaterThan(0.6)
    expect(quantile(ratios, 0.5)).toBeLessThan(1.6)
  })

  it('lower them further than panels chosen blindly', () => {
    const better = racks.map(({ seed, rack, fit, probes, panels }) => {
      const [first] = planNext(fit, probes, panels, 1)
      const random = randomFrom(`${seed}/blind`)
      const blind = pickSome(random, panels, 5).map((panel) => meanBound(sprayedToo(rack, panel, seed), probes))
      return quantile(blind, 0.5) - meanBound(sprayedToo(rack, first!.panel, seed), probes)
    })
    expect(better.filter((by) => by > 0).length).toBeGreaterThanOrEqual(5)
  })

  it('are each judged with those before them, and end where nothing is left to learn', () => {
    for (const { fit, probes, panels } of racks) {
      const found = planNext(fit, probes, panels, 6)
      expect(found.length).toBeLessThanOrEqual(6)
      found.forEach(({ boundNow, boundThen }, k) => {
        expect(boundThen).toBeLessThan(boundNow)
        expect(boundNow).toBe(k > 0 ? found[k - 1]!.boundThen : found[0]!.boundNow)
      })
      expect(new Set(found.map(({ panel }) => panel)).size).toBe(found.length)
    }
  })

  it('each lower the bounds noticeably: a rack that is known well is asked for fewer', () => {
    const rack = rackOf('film-next/known', { ...usual, candies: 3, panels: 120 })
    const counts = [16, 60, rack.library.observations.length].map((count) => {
      const some = pickSome(randomFrom('film-next/some'), rack.library.observations, count)
      const fit = fitFilm(withObservations(rack.library, some))
      const found = planNext(
        fit,
        probesOfRack(fit.observations, having(fit)),
        panelsOfRack(fit.observations, having(fit)),
        8,
      )
      for (const { boundNow, boundThen } of found) expect(boundNow - boundThen).toBeGreaterThanOrEqual(0.02 * boundNow)
      return found.length
    })
    expect(counts[0]).toBeGreaterThan(counts[1]!)
    expect(counts.at(-1)).toBe(0)
  })

  it('are none without anything to know or to choose from', () => {
    const { fit, probes, panels } = racks[0]!
    expect(planNext(fit, [], panels, 3)).toEqual([])
    expect(planNext(fit, probes, [], 3)).toEqual([])
    expect(planNext(fit, [{ recipe: single('candy-99', 'ground-1', 2), weight: 1 }], panels, 3)).toEqual([])
    const empty = fitFilm({ observations: [], groundKinds: new Map(), scatterPerCoat: null })
    expect(planNext(empty, probes, panels, 3)).toEqual([])
  })

  it('update what is known as the inverse of summed information does', () => {
    // Woodbury's identity against plain inverses by ml-matrix: (Σ⁻¹ + Hᵀ R⁻¹ H)⁻¹
    const { fit, panels } = racks[0]!
    const n = Math.round(Math.sqrt(fit.covariance.length))
    const lesson = lessonOf(fit, stepsOf(panels.at(-1)!), 0.4)!
    const size = 3 * lesson.steps.length
    const h = Matrix.zeros(size, n)
    lesson.steps.forEach(({ columns, rows }, s) => {
      columns.forEach((column, k) => {
        for (let c = 0; c < 3; c++) h.set(3 * s + c, column, h.get(3 * s + c, column) + rows[c * columns.length + k]!)
      })
    })
    const square = (flat: Float64Array, side: number) =>
      new Matrix(Array.from({ length: side }, (_, i) => [...flat.subarray(i * side, (i + 1) * side)]))
    const information = inverse(square(fit.covariance, n)).add(
      h
        .transpose()
        .mmul(inverse(square(lesson.error, size)))
        .mmul(h),
    )
    const expected = inverse(information)
    const found = afterLesson(fit.covariance, n, lessen(fit.covariance, n, lesson)!)
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) expect(found[i * n + j]).toBeCloseTo(expected.get(i, j), 6)
  })
})

describe('things that nobody has read', () => {
  const { library } = usualRack
  const left = library.observations.filter(
    ({ ground, dyes }) => ground !== 'ground-3' && !dyes.some(({ id }) => id === 'candy-4'),
  )
  const fit = fitFilm(withObservations(library, left))
  const more = withBelieved(fit, ['candy-4'], [{ id: 'ground-3', kind: 'metallic' }])

  it('are doubted most, and change nothing of the others', () => {
    const known = single('candy-1', 'ground-1', 3)
    expect(predictRecipe(more, known)).toEqual(predictRecipe(fit, known))
    expect(predictLab(fit, single('candy-4', 'ground-1', 3))).toBeNull()
    const unread = predictRecipe(more, single('candy-4', 'ground-1', 3))!
    expect(unread.bound90).toBeGreaterThan(5 * predictRecipe(more, known)!.bound90)
    expect(predictRecipe(more, single('candy-1', 'ground-3', 3))!.bound90).toBeGreaterThan(
      3 * predictRecipe(more, known)!.bound90,
    )
    expect(withBelieved(fit, ['candy-1'], [])).toBe(fit)
  })

  it('are among what could be sprayed on a large rack too, however little they weigh', () => {
    const candies = Array.from({ length: 120 }, (_, i) => `candy-${i}`)
    const grounds = ['ground-1', 'ground-2', 'ground-3']
    const observations = candies.flatMap((id) =>
      grounds.map((ground, g) => ({ ...library.observations[0]!, ...single(id, ground, 4), panel: `${id}/${g}` })),
    )
    const shop = { grounds: [...grounds, 'ground-new'], candies: [...candies, 'candy-new'] }
    const panels = panelsOfRack(observations, shop)
    const probes = probesOfRack(observations, shop)
    // far fewer than there could be
    expect(panels.length).toBeLessThan(candies.length * grounds.length)
    for (const recipes of [panels.flatMap(stepsOf), probes.map(({ recipe }) => recipe)]) {
      expect(recipes.some(({ dyes }) => dyes.some(({ id }) => id === 'candy-new'))).toBe(true)
      expect(recipes.some(({ ground, dyes }) => ground === 'ground-new' && dyes.length > 0)).toBe(true)
    }
  })

  it('are what the next panels are of', () => {
    const formula = {
      ...panelsOfRack(more.observations, having(more))[0]!.formula,
      candies: [
        { id: 'candy-1', parts: 2 },
        { id: 'candy-4', parts: 1 },
      ],
    }
    const grounds = ['ground-1', 'ground-3']
    const found = planNext(
      more,
      probesOfTable(formula, grounds, [1, 2, 3, 4]),
      panelsOfTable(formula, grounds, [1, 2, 3, 4]),
      3,
    )
    expect(found[0]!.panel.formula.candies.map(({ id }) => id)).toContain('candy-4')
    expect(found[0]!.panel.formula.ground).toBe('ground-3')
    expect(found[0]!.boundThen).toBeLessThan(0.6 * found[0]!.boundNow)
  })
})

describe('what could be sprayed', () => {
  it('has a bare strip under clear where there is candy, and bare grounds that were not read so', () => {
    const dyed = usualRack.library.observations.filter(({ dyes }) => dyes.length > 0)
    const fit = fitFilm(withObservations(usualRack.library, dyed))
    const bareIn = (of: FilmFit) =>
      panelsOfRack(of.observations, having(of)).filter(({ formula }) => formula.candies.length === 0)
    expect(
      bareIn(fit)
        .map(({ formula }) => formula.ground)
        .toSorted(),
    ).toEqual([...fit.grounds.keys()].toSorted())
    expect(bareIn(usualFit)).toEqual([])
    for (const { formula, coats } of panelsOfRack(usualFit.observations, having(usualFit))) {
      expect(coats[0]).toBe(0)
      expect(coats).toEqual(coats.toSorted((a, b) => a - b))
      expect(formula.candies.length).toBeGreaterThan(0)
      expect(formula.candies.every(({ parts }) => Number.isInteger(parts))).toBe(true)
    }
  })

  it('reaches every pair of candy and ground, and weighs what is sprayed more', () => {
    const panels = panelsOfRack(usualFit.observations, having(usualFit))
    for (const ground of usualFit.grounds.keys())
      for (const candy of usualFit.absorbance.keys())
        expect(
          panels.some(
            ({ formula: { ground: under, candies } }) =>
              under === ground && candies.length === 1 && candies[0]!.id === candy,
          ),
        ).toBe(true)
    const weights = new Map<string, number>()
    for (const { recipe, weight } of probesOfRack(usualFit.observations, having(usualFit)))
      weights.set(recipe.ground, (weights.get(recipe.ground) ?? 0) + weight)
    // the last ground was tried with a single candy only
    expect(weights.get('ground-1')!).toBeGreaterThan(weights.get('ground-3')!)
  })
})
