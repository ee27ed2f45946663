import { Refusal } from '../../contract/refusal.ts'
import type { MaterialRef } from '../../records/mixture.ts'
import type { CupContents } from '../cup/contents.ts'
import { divide, fromNumber, hundred, multiply, type Rational, sum } from '../rational.ts'

/** Percent by volume that stays when the paint has dried, or null while nobody knows it. */
export type SolidsOf = (material: MaterialRef) => number | null

const listed = (names: readonly string[]): string => [...new Set(names)].join(', ')

/**
 * Volume solids of a mixture, 0 to 1: each material's by its share of the volume. Powders take no room and count for
 * nothing, so a mixture with much powder builds a little more than this says.
 * @throws Refusal `mix/no-density` or `mix/no-solids` with the names of what lacks it, or `mix/no-film` when nothing stays
 */
export function volumeSolids(cup: CupContents, solidsOf: SolidsOf): Rational {
  const wet = cup.contents.filter(({ powder }) => !powder)
  const unknown = wet.filter(({ volumeMl }) => volumeMl === null).map(({ material }) => material.name)
  if (unknown.length > 0 || !cup.volumeMl || cup.volumeMl.numerator === 0n) {
    throw new Refusal(
      'mix/no-density',
      `How much film this mixture leaves is counted by volume, and the density of ${listed(unknown)} is not known.`,
      'Enter it on the shelf.',
    )
  }
  const lacking = wet.filter(({ material }) => solidsOf(material) === null).map(({ material }) => material.name)
  if (lacking.length > 0) {
    throw new Refusal(
      'mix/no-solids',
      `How much film this mixture leaves is not known: volume solids of ${listed(lacking)} are missing.`,
      'Enter them on the shelf from the data sheet (a reducer is usually 0 %), or give the wet film of a coat.',
    )
  }
  const solid = sum(
    wet.flatMap(({ material, volumeMl }) =>
      volumeMl ? [multiply(volumeMl, divide(fromNumber(solidsOf(material) ?? 0), hundred))] : [],
    ),
  )
  if (solid.numerator > 0n) return divide(solid, cup.volumeMl)
  throw new Refusal(
    'mix/no-film',
    'By the volume solids on the shelf, nothing of this mixture stays when it has dried.',
    'Check the volume solids of its materials.',
  )
}
