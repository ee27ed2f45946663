import { dyeLoad } from '../../shared-core/film/forward.ts'
import type { FilmRecipe } from '../../shared-core/film/recipe.ts'

/** A cup as a painter mixes it, and how it is sprayed. */
export type Cup = {
  ground: string
  candies: readonly { id: string; parts: number }[]
  carrierParts: number
  coats: number
  /** A fraction on top of the mixture. */
  reducer?: number
  under?: { id: string; coats: number } | null
  over?: { id: string; coats: number } | null
  gun?: string | null
  finish?: FilmRecipe['finish']
}

export function recipeOf(cup: Cup): FilmRecipe {
  const parts = cup.candies.reduce((sum, one) => sum + one.parts, 0)
  const dilution = (1 + cup.carrierParts) * (1 + (cup.reducer ?? 0))
  return {
    ground: cup.ground,
    under: cup.under ?? null,
    dyes: cup.candies.map((one) => ({ id: one.id, load: dyeLoad(cup.coats, one.parts / parts / dilution) })),
    coats: cup.candies.length > 0 ? cup.coats : 0,
    over: cup.over ?? null,
    gun: cup.gun ?? null,
    finish: cup.finish ?? 'cleared',
  }
}

export const bareOf = (ground: string, finish: FilmRecipe['finish'] = 'cleared'): FilmRecipe =>
  recipeOf({ ground, candies: [], carrierParts: 0, coats: 0, finish })
