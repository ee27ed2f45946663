import { dyeLoad } from '../../../shared-core/film/forward.ts'
import type { FilmRecipe } from '../../../shared-core/film/recipe.ts'
import type { DensityOf } from '../../../shared-core/mix/quantities.ts'
import type { Mixture } from '../../../shared-core/records/mixture.ts'
import { dyesOf } from '../../rack/queries/film-build.ts'
import type { FilmRack } from '../../rack/queries/film-observations.ts'

/** A ground by the name that a painter writes; null when the film model has not met it. */
export function groundNamed(rack: Pick<FilmRack, 'grounds'>, name: string): string | null {
  const wanted = name.trim().toLowerCase()
  const found =
    rack.grounds.find(({ id, name: shown }) => id === wanted || shown.toLowerCase() === wanted) ??
    rack.grounds.find(({ layerName }) => layerName.toLowerCase() === wanted)
  return found?.id ?? null
}

/**
 * A cup over a ground as the film model takes it, cleared and by the usual gun.
 * @returns why not, in a painter's words, where it cannot
 */
export function recipeOfMixture(
  rack: Pick<FilmRack, 'grounds'>,
  { mixture, ground, coats, gun = null }: { mixture: Mixture; ground: string; coats: number; gun?: string | null },
  densityOf: DensityOf,
): FilmRecipe | string {
  const id = groundNamed(rack, ground)
  if (id === null) return ground.trim() === '' ? 'No ground is named.' : `The rack has no reading over ${ground}.`
  const found = dyesOf(mixture, densityOf)
  if ('why' in found) return found.why.replace('its candy', 'the mixture')
  const dyes = coats > 0 ? found.dyes.map((dye) => ({ id: dye.id, load: dyeLoad(coats, dye.share) })) : []
  return { ground: id, under: null, over: null, gun, finish: 'cleared', coats, dyes }
}
