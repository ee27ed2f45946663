import type { PlanFormula } from '../../../shared-core/records/film.ts'
import type { FilmRack } from '../../rack/queries/film-observations.ts'
import { unknownCandy, unknownGround, unknownGun, unknownMidCoat } from './refusals.ts'

/** What the names in a recipe may be. */
export type KnownThings = Pick<FilmRack, 'candies' | 'grounds' | 'midCoats' | 'guns'>

/** @throws Refusal `film/unknown-ground` */
export function mustKnowGrounds(rack: KnownThings, ids: readonly string[]): void {
  for (const id of ids) if (!rack.grounds.some((ground) => ground.id === id)) throw unknownGround(id)
}

/** @throws Refusal `film/unknown-candy` */
export function mustKnowCandies(rack: KnownThings, ids: readonly string[]): void {
  for (const id of ids) if (!rack.candies.some((candy) => candy.id === id)) throw unknownCandy()
}

/** @throws Refusal `film/unknown-gun` */
export function mustKnowGun(rack: KnownThings, id: string | null): void {
  if (id !== null && !rack.guns.some((gun) => gun.id === id)) throw unknownGun()
}

/** @throws Refusal `film/unknown-candy`, `film/unknown-mid-coat`, `film/unknown-gun` */
export function mustKnowFormula(rack: KnownThings, formula: PlanFormula): void {
  const { candies, under, over, gunSetupId } = formula
  mustKnowCandies(
    rack,
    candies.map(({ id }) => id),
  )
  for (const mid of [under, over])
    if (mid && !rack.midCoats.some(({ id }) => id === mid.id)) throw unknownMidCoat(mid.id)
  mustKnowGun(rack, gunSetupId)
}
