import { describe, expect, it } from 'vitest'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import type { FilmFit } from '../../shared-core/film/fitted.ts'
import { predictLab, predictRecipe, restsOn, slopeOf } from '../../shared-core/film/predict.ts'
import { rackOf } from '../worlds/rack.ts'
import { bareOf } from '../worlds/recipes.ts'
import { invented, stuff } from '../worlds/spectra.ts'
import {
  errorsOf,
  expectSound,
  medianError,
  single,
  usual,
  usualFit,
  usualRack,
  withObservations,
} from './film-racks.ts'

describe('a rack of usual size', () => {
  it.each([
    ['open or invented', stuff()],
    ['invented', invented],
  ])(
    'predicts what was never sprayed to 1 dE00 at the median and 3 at the 95th percentile, absorbers %s',
    (_name, absorbers) => {
      const errors = ['a', 'b', 'c', 'd', 'e', 'f'].flatMap((seed) => {
        const rack = rackOf(`film-fit/${seed}`, { ...usual, midCoats: 1, under: true, absorbers })
        return errorsOf(fitFilm(rack.library), rack)
      })
      expect(errors.length).toBeGreaterThan(120)
      expect(quantile(errors, 0.5)).toBeLessThan(1)
      expect(quantile(errors, 0.95)).toBeLessThan(3)
    },
  )

  it('learns that a second gun lays more', () => {
    const rack = rackOf('film-fit/guns', { ...usual, guns: true })
    const fit = fitFilm(rack.library)
    const real = rack.world.guns.get('gun-2')!
    const found = fit.builds.get('gun-2')! / fit.builds.get('gun-1')!
    expect(Math.abs(Math.log(found / real))).toBeLessThan(0.12)
    expect(medianError(fit, rack)).toBeLessThan(1.2)
  })

  it('tells a bare ground raw from cleared, and joins what was read of both', () => {
    const rack = rackOf('film-fit/finishes', { ...usual, candies: 3, bothFinishes: true })
    const fit = fitFilm(rack.library)
    expectSound(fit, rack)
    expect(medianError(fit, rack)).toBeLessThan(1.3)
    // a raw surface adds light over dark paint
    const [candy] = rack.world.candies.keys()
    const cleared = predictLab(fit, single(candy!, 'ground-1', 8))!
    const raw = predictLab(fit, single(candy!, 'ground-1', 8, { finish: 'uncleared' }))!
    expect(differenceCiede2000(cleared, raw)).toBeGreaterThan(0.5)
  })

  it('finds the scatter of one coat from steps, larger where it is larger', () => {
    const scatterOf = (scatterPerCoat: number) =>
      quantile(
        ['a', 'b', 'c'].map((seed) => {
          const wish = { ...usual, steps: true, noise: 0.6, scatterPerCoat, scatterUnknown: true }
          return fitFilm(rackOf(`film-fit/scatter/${seed}`, wish).library).scatterPerCoat
        }),
        0.5,
      )
    const [small, large] = [scatterOf(0.05), scatterOf(0.2)]
    expect(small).toBeLessThan(0.1)
    expect(large).toBeGreaterThan(0.13)
  })

  it('rests a prediction on panels of its own candy first', () => {
    const recipe = single('candy-2', 'ground-1', 4)
    const weights = restsOn(usualFit, recipe, 5)
    const of = new Map(usualRack.library.observations.map((one) => [one.id, one]))
    expect(weights.length).toBeGreaterThan(0)
    expect(of.get(weights[0]!.id)!.dyes.map(({ id }) => id)).toContain('candy-2')
    for (const { weight } of weights) expect(weight).toBeGreaterThanOrEqual(0)
    for (const { weight } of weights) expect(weight).toBeLessThanOrEqual(1)
  })

  it('moves a colour as its slope says, for small changes of the unknowns', () => {
    const recipe = single('candy-1', 'ground-2', 3)
    const slope = slopeOf(usualFit, recipe)!
    const width = slope.columns.length
    slope.columns.forEach((column, k) => {
      const moved = (by: number) => {
        const unknowns = usualFit.unknowns.slice()
        unknowns[column]! += by
        return predictLab({ ...usualFit, unknowns }, recipe)!
      }
      const [up, down] = [moved(1e-4), moved(-1e-4)]
      const measured = [up.l - down.l, up.a - down.a, up.b - down.b].map((d) => d / 2e-4)
      measured.forEach((value, c) => {
        expect(Math.abs(value - slope.rows[c * width + k]!)).toBeLessThan(1e-3 + 2e-3 * Math.abs(value))
      })
    })
  })
})

describe('a rack that teaches little', () => {
  it('gives an empty fit for no readings, which predicts nothing', () => {
    const fit = fitFilm({ observations: [], groundKinds: new Map(), scatterPerCoat: null })
    expect(fit.absorbance.size).toBe(0)
    expect(fit.observations).toEqual([])
    expect(predictRecipe(fit, single('candy-1', 'ground-1', 3))).toBeNull()
    expect(predictLab(fit, bareOf('ground-1'))).toBeNull()
    expect(slopeOf(fit, bareOf('ground-1'))).toBeNull()
    expect(restsOn(fit, bareOf('ground-1'), 3)).toEqual([])
  })

  it('says nothing of grounds, candies and mid coats that it never saw', () => {
    expect(predictRecipe(usualFit, single('candy-99', 'ground-1', 3))).toBeNull()
    expect(predictRecipe(usualFit, single('candy-1', 'ground-99', 3))).toBeNull()
    expect(predictRecipe(usualFit, single('candy-1', 'ground-1', 3, { over: { id: 'mid-99', coats: 1 } }))).toBeNull()
    expect(predictRecipe(usualFit, single('candy-1', 'ground-1', 3, { under: { id: 'mid-99', coats: 1 } }))).toBeNull()
  })

  it('stays sound with one panel, whatever that panel is', () => {
    for (const observation of usualRack.library.observations) {
      const fit = fitFilm(withObservations(usualRack.library, [observation]))
      expectSound(fit, usualRack)
      const { lab, bound90 } = predictRecipe(fit, observation)!
      expect(differenceCiede2000(lab, observation.lab)).toBeLessThan(Math.max(4, bound90))
    }
  })

  it('works with one candy', () => {
    const rack = rackOf('film-fit/one', { ...usual, candies: 1 })
    const fit = fitFilm(rack.library)
    expectSound(fit, rack)
    expect(medianError(fit, rack)).toBeLessThan(1.5)
  })

  it('works with ten panels, with larger bounds than with all of them', () => {
    const rack = rackOf('film-fit/ten', { ...usual, candies: 2, grounds: 2 })
    const some = rack.library.observations.filter((_, i) => i % 3 === 0).slice(0, 10)
    const fit = fitFilm(withObservations(rack.library, some))
    const whole = fitFilm(rack.library)
    expectSound(fit, rack)
    expect(medianError(fit, rack)).toBeLessThan(4)
    const bounds = (of: FilmFit) =>
      quantile(
        rack.questions.flatMap(({ recipe }) => predictRecipe(of, recipe)?.bound90 ?? []),
        0.5,
      )
    expect(bounds(fit)).toBeGreaterThan(1.2 * bounds(whole))
  })

  it('works without a single bare ground, and doubts the bare grounds more', () => {
    const rack = rackOf('film-fit/no-bare', usual)
    const dyed = rack.library.observations.filter(({ dyes }) => dyes.length > 0)
    const fit = fitFilm(withObservations(rack.library, dyed))
    const whole = fitFilm(rack.library)
    expectSound(fit, rack)
    expect(medianError(fit, rack)).toBeLessThan(1.6)
    for (const ground of rack.world.grounds.keys()) {
      const [without, withThem] = [predictRecipe(fit, bareOf(ground))!, predictRecipe(whole, bareOf(ground))!]
      expect(without.bound90).toBeGreaterThan(withThem.bound90)
    }
  })
})

describe('the way to a fit', () => {
  const said = (fit: FilmFit) => usualRack.questions.map(({ recipe }) => predictRecipe(fit, recipe)!)
  /** The largest difference between what two fits say, in dE00, and between their bounds, as a ratio's logarithm. */
  const apart = (fit: FilmFit): { de00: number; bound: number } => {
    const usualSaid = said(usualFit)
    const each = said(fit).map((one, i) => ({
      de00: differenceCiede2000(one.lab, usualSaid[i]!.lab),
      bound: Math.abs(Math.log(one.bound90 / usualSaid[i]!.bound90)),
    }))
    return { de00: Math.max(...each.map(({ de00 }) => de00)), bound: Math.max(...each.map(({ bound }) => bound)) }
  }

  it('does not matter: from an earlier fit it comes to the same as from nothing', () => {
    const { observations } = usualRack.library
    // one reading fewer, one candy fewer, another shop's, nothing at all
    const withoutOne = withObservations(usualRack.library, observations.slice(0, -1))
    const without = observations.filter(({ dyes }) => !dyes.some(({ id }) => id === 'candy-4'))
    for (const library of [
      withoutOne,
      withObservations(usualRack.library, without),
      rackOf('film-fit/another', usual).library,
      withObservations(usualRack.library, []),
    ]) {
      const { de00, bound } = apart(fitFilm(usualRack.library, fitFilm(library)))
      expect(de00).toBeLessThan(0.1)
      expect(bound).toBeLessThan(0.05)
    }
  })

  it('does not depend on the order of the readings', () => {
    const turned = withObservations(usualRack.library, usualRack.library.observations.toReversed())
    const { de00, bound } = apart(fitFilm(turned))
    expect(de00).toBeLessThan(0.02)
    expect(bound).toBeLessThan(0.02)
  })

  it('is plain data', () => {
    const copied = structuredClone(usualFit)
    for (const { recipe } of usualRack.questions)
      expect(predictRecipe(copied, recipe)).toEqual(predictRecipe(usualFit, recipe))
  })
})
