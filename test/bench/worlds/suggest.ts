import { type Random, randomFrom } from '../../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../../shared-core/colour/difference.ts'
import { fitFilm } from '../../../shared-core/film/fit.ts'
import type { FilmRecipe } from '../../../shared-core/film/recipe.ts'
import { type SuggestOptions, suggest } from '../../../shared-core/film/suggest.ts'
import { usualLimits } from '../../../shared-core/records/film.ts'
import type { Rack } from '../../worlds/rack.ts'
import { bareOf } from '../../worlds/recipes.ts'
import { pickSome } from '../../worlds/spectra.ts'
import { labOf, type World } from '../../worlds/world.ts'

/** One colour to be met, and what became of the first suggestion for it when it was sprayed exactly as said. */
export type Met = {
  /** True difference from the target, and of the panel on the rack whose reading is nearest. */
  de00: number
  nearest: number
  /** Predicted difference; and how far the prediction was from what the formula gave, with its bound. */
  predicted: number
  error: { de00: number; bound90: number }
  /** That the program said nothing comes near. */
  warned: boolean
}

const targetsPerRack = 12

export const suggestOptions: SuggestOptions = {
  ...usualLimits,
  grounds: null,
  candies: null,
  gun: null,
  count: 6,
}

/** A colour that these paints can make: one to three candies in any amounts, over any ground; no panel shows it. */
function anyRecipe(random: Random, world: World): FilmRecipe {
  const candies = [...world.candies.keys()]
  const ids = pickSome(random, candies, Math.min(candies.length, random.whole(1, 3)))
  const all = 0.8 * 10 ** random.next()
  const shares = ids.map(() => random.between(0.15, 1))
  const sum = shares.reduce((a, b) => a + b, 0)
  return {
    ...bareOf(random.pick([...world.grounds.keys()])),
    dyes: ids.map((id, i) => ({ id, load: (all * shares[i]!) / sum })),
    coats: 3,
  }
}

export function measureSuggestions(rack: Rack, seed: string): Met[] {
  const { world, library } = rack
  const fit = fitFilm(library)
  const random = randomFrom(`${seed}/targets`)
  return Array.from({ length: targetsPerRack }, (): Met => {
    const target = labOf(world, anyRecipe(random, world))
    const { suggestions, nothingNear } = suggest(fit, { lab: target, noise: 0 }, suggestOptions)
    const [first] = suggestions
    if (!first) throw new Error(`Nothing at all was suggested (${seed}).`)
    const given = labOf(world, first.recipe)
    const { lab, bound90 } = first.prediction
    return {
      de00: differenceCiede2000(target, given),
      nearest: Math.min(...library.observations.map((one) => differenceCiede2000(target, one.lab))),
      predicted: first.de00,
      error: { de00: differenceCiede2000(lab, given), bound90 },
      warned: nothingNear !== null,
    }
  })
}
