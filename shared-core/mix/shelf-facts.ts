import type { Material, MaterialRef, Mixture } from '../records/mixture.ts'
import { sameMaterial } from './cup/contents.ts'
import type { DensityOf } from './quantities.ts'
import type { Ingredient } from './safety/cautions.ts'
import { materialsIn } from './safety/materials-in.ts'
import type { SolidsOf } from './surface/solids.ts'

/** What the shelf knows of the materials in a mixture. */

export const onShelf = (materials: readonly Material[], ref: MaterialRef): Material | undefined =>
  materials.find((each) => sameMaterial(each, ref))

export const densityFrom =
  (materials: readonly Material[]): DensityOf =>
  (ref) =>
    onShelf(materials, ref)?.densityKgPerL ?? null

export const solidsFrom =
  (materials: readonly Material[]): SolidsOf =>
  (ref) =>
    onShelf(materials, ref)?.volumeSolidsPercent ?? null

/** Every material of a mixture once. */
export const namedOnce = (mixture: Mixture): MaterialRef[] =>
  materialsIn(mixture).filter((each, at, all) => all.findIndex((other) => sameMaterial(other, each)) === at)

/** What cautions go by: kinds, and what the shelf was told of their safety data sheets. */
export const cautionKinds = (
  refs: readonly MaterialRef[],
  materials: readonly Material[],
): (Ingredient & { name: string })[] =>
  refs.map((ref) => ({ kind: ref.kind, name: ref.name, isocyanate: onShelf(materials, ref)?.isocyanate ?? null }))

/** The shortest pot life of what is in it, in minutes; null: nothing hardens, or nobody said. */
export function potLifeOf(refs: readonly MaterialRef[], materials: readonly Material[]): number | null {
  const lives = refs.flatMap((ref) => onShelf(materials, ref)?.potLifeMin ?? [])
  return lives.length > 0 ? Math.min(...lives) : null
}

/** Largest grain of the flake in it, in µm; null: no flake, or nobody said. */
export function flakeOf(refs: readonly MaterialRef[], materials: readonly Material[]): number | null {
  const sizes = refs.filter(({ kind }) => kind === 'flake').flatMap((ref) => onShelf(materials, ref)?.flakeMicron ?? [])
  return sizes.length > 0 ? Math.max(...sizes) : null
}
