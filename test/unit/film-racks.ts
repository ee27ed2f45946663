import { expect } from 'vitest'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import type { FilmFit } from '../../shared-core/film/fitted.ts'
import { predictLab, predictRecipe } from '../../shared-core/film/predict.ts'
import type { FilmLibrary, FilmObservation, FilmRecipe } from '../../shared-core/film/recipe.ts'
import { type Rack, rackOf } from '../worlds/rack.ts'
import { recipeOf } from '../worlds/recipes.ts'

/** Racks of simulated shops: their paints are known as spectra, and their optics are not those of the model. */
export const usual = { candies: 4, grounds: 3, noise: 1, scatterPerCoat: 0.08 } as const
export const usualRack = rackOf('film-fit', usual)
export const usualFit = fitFilm(usualRack.library)

export const withObservations = (library: FilmLibrary, observations: readonly FilmObservation[]): FilmLibrary => ({
  ...library,
  observations,
})

export function errorsOf(fit: FilmFit, { questions }: Rack): number[] {
  return questions.flatMap(({ recipe, truth }) => {
    const said = predictLab(fit, recipe)
    return said ? [differenceCiede2000(said, truth)] : []
  })
}
export const medianError = (fit: FilmFit, rack: Rack): number => quantile(errorsOf(fit, rack), 0.5)

export function expectSound(fit: FilmFit, rack: Rack): void {
  for (const number of fit.unknowns) expect(number).toSatisfy(Number.isFinite)
  for (const number of fit.covariance) expect(number).toSatisfy(Number.isFinite)
  for (const { recipe } of rack.questions) {
    const said = predictRecipe(fit, recipe)
    if (said === null) continue
    for (const number of [said.lab.l, said.lab.a, said.lab.b]) expect(number).toSatisfy(Number.isFinite)
    expect(said.bound90).toBeGreaterThan(0)
    expect(said.bound90).toBeLessThan(200)
    expect(said.nextPanel90).toBeGreaterThan(said.bound90)
  }
}

export const single = (
  id: string,
  ground: string,
  coats: number,
  more: Partial<Parameters<typeof recipeOf>[0]> = {},
): FilmRecipe => recipeOf({ candies: [{ id, parts: 1 }], carrierParts: 6, ground, coats, ...more })
