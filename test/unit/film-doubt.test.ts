import { describe, expect, it } from 'vitest'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import { predictLab, predictRecipe } from '../../shared-core/film/predict.ts'
import { rackOf } from '../worlds/rack.ts'
import { expectSound, medianError, single, usual, usualFit, usualRack, withObservations } from './film-racks.ts'

describe('a bound', () => {
  it('is visibly larger for a candy seen over one ground only', () => {
    const { library } = usualRack
    // candy-2 goes from all grounds but the first, alone and in blends
    const left = library.observations.filter(
      ({ ground, dyes }) => ground === 'ground-1' || !dyes.some(({ id }) => id === 'candy-2'),
    )
    expect(left.length).toBeLessThan(library.observations.length)
    const recipe = single('candy-2', 'ground-2', 4)
    const [seen, unseen] = [usualFit, fitFilm(withObservations(library, left))].map(
      (fit) => predictRecipe(fit, recipe)!.bound90,
    )
    expect(unseen!).toBeGreaterThan(1.1 * seen!)
    // and where a candy and a ground never met, it is larger than where they did
    expect(predictRecipe(usualFit, single('candy-3', 'ground-3', 4))!.bound90).toBeGreaterThan(
      predictRecipe(usualFit, single('candy-3', 'ground-1', 4))!.bound90,
    )
  })

  it('is visibly larger for coats beyond any sprayed', () => {
    const rising = ['candy-1', 'candy-2', 'candy-3', 'candy-4'].map((id) => {
      const within = predictRecipe(usualFit, single(id, 'ground-1', 3))!.bound90
      return predictRecipe(usualFit, single(id, 'ground-1', 14))!.bound90 / within
    })
    expect(quantile(rising, 0.5)).toBeGreaterThan(1.3)
  })

  it('is larger for readings that are worse, and for what one panel will read', () => {
    const noisy = fitFilm(rackOf('film-fit', { ...usual, noise: 3 }).library)
    for (const { recipe } of usualRack.questions) {
      const [good, bad] = [predictRecipe(usualFit, recipe)!, predictRecipe(noisy, recipe)!]
      expect(bad.nextPanel90).toBeGreaterThan(good.nextPanel90)
      expect(good.nextPanel90).toBeGreaterThan(good.bound90)
    }
  })
})

describe('readings that are wrong', () => {
  const { library } = usualRack
  const { observations } = library
  const victim = observations.find(({ dyes, coats }) => dyes.length === 1 && coats > 1)!

  it('survives readings that no paint has, and says that they do not fit', () => {
    const absurd = { ...victim, id: 'absurd', panel: 'absurd', lab: { l: 180, a: 300, b: -400 } }
    const fit = fitFilm(withObservations(library, [...observations, absurd]))
    expectSound(fit, usualRack)
    expect(medianError(fit, usualRack)).toBeLessThan(medianError(usualFit, usualRack) + 0.5)
    const residual = fit.residuals.find(({ id }) => id === 'absurd')!
    expect(residual.de00).toBeGreaterThan(residual.allowed90)
    expect(residual.weight).toBeLessThan(0.2)
  })

  it('survives a rack of nothing but absurd readings', () => {
    const labs = [
      { l: 180, a: 300, b: -400 },
      { l: -50, a: 0, b: 0 },
      { l: 0, a: -200, b: 200 },
    ]
    const wild = observations.map((one, i) => ({ ...one, lab: labs[i % labs.length]! }))
    const fit = fitFilm(withObservations(library, wild))
    expectSound(fit, usualRack)
    expect(fit.residuals).toHaveLength(wild.length)
  })

  it('survives one recipe read twice, far apart, and doubts at least one of the two', () => {
    const other = {
      ...victim,
      id: 'other',
      panel: 'other',
      lab: { l: victim.lab.l, a: victim.lab.a + 30, b: victim.lab.b - 30 },
    }
    const fit = fitFilm(withObservations(library, [...observations, other]))
    expectSound(fit, usualRack)
    const [one, two] = [victim.id, 'other'].map((id) => fit.residuals.find((residual) => residual.id === id)!)
    expect(Math.max(one!.de00 / one!.allowed90, two!.de00 / two!.allowed90)).toBeGreaterThan(1)
    expect(medianError(fit, usualRack)).toBeLessThan(medianError(usualFit, usualRack) + 0.8)
  })

  it('gives a panel sprayed far too thin a build below 1', () => {
    const thin = observations.map((one) => {
      if (one.id !== victim.id) return one
      const dyes = one.dyes.map(({ id, load }) => ({ id, load: load / 2 }))
      return { ...one, lab: predictLab(usualFit, { ...one, dyes })! }
    })
    const residual = fitFilm(withObservations(library, thin)).residuals.find(({ id }) => id === victim.id)!
    expect(residual.build).toBeLessThan(0.75)
    expect(residual.leftOver).toBeLessThan(residual.de00)
  })

  it('counts a reading named twice as two readings', () => {
    const fit = fitFilm(withObservations(library, [...observations, ...observations.slice(0, 5)]))
    expectSound(fit, usualRack)
    expect(fit.residuals).toHaveLength(observations.length + 5)
    expect(medianError(fit, usualRack)).toBeLessThan(medianError(usualFit, usualRack) + 0.4)
  })
})
