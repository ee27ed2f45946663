import type { MaterialRef } from '../../records/mixture.ts'
import { nameKey } from '../material-names.ts'
import type { Quantities } from '../quantities.ts'
import { multiply, type Rational, sum } from '../rational.ts'

/** One thing in a cup, exactly. Volume or mass is null where only a density could tell it. */
export type Content = {
  material: MaterialRef
  /** Names of the mixtures that it stands in, outermost first. */
  path: readonly string[]
  /** Dry powder by grams per litre: its own volume is not counted and stays null. */
  powder: boolean
  volumeMl: Rational | null
  massG: Rational | null
}

/** Everything in a cup, in pouring order, and what it comes to. */
export type CupContents = {
  contents: readonly Content[]
  /** Without powders; null where a density is missing. */
  volumeMl: Rational | null
  massG: Rational | null
}

/** The sum, or null when one of the amounts is not known. */
export function sumKnown(amounts: readonly (Rational | null)[]): Rational | null {
  const known = amounts.filter((amount) => amount !== null)
  return known.length === amounts.length ? sum(known) : null
}

export const cupOf = (contents: readonly Content[]): CupContents => ({
  contents,
  volumeMl: sumKnown(contents.filter(({ powder }) => !powder).map(({ volumeMl }) => volumeMl)),
  massG: sumKnown(contents.map(({ massG }) => massG)),
})

/** What `scaleMixture` gave, as the contents of a cup. */
export const contentsOf = ({ ingredients }: Quantities): CupContents =>
  cupOf(
    ingredients.map(({ material, path, powder, exact }) => ({
      material,
      path,
      powder,
      volumeMl: exact.volume,
      massG: exact.mass,
    })),
  )

/** The same mixture in another size: every ratio stays, exactly. */
export const scaleCup = ({ contents }: CupContents, factor: Rational): CupContents =>
  cupOf(
    contents.map((each) => ({
      ...each,
      volumeMl: each.volumeMl && multiply(each.volumeMl, factor),
      massG: each.massG && multiply(each.massG, factor),
    })),
  )

/** By id where both have one, else by name. */
export const sameMaterial = (a: MaterialRef, b: MaterialRef): boolean =>
  a.id !== null && b.id !== null ? a.id === b.id : nameKey(a.name) === nameKey(b.name)
