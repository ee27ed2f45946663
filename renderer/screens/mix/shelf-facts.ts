import { sameMaterial } from '../../../shared-core/mix/cup/contents.ts'
import type { DensityOf } from '../../../shared-core/mix/quantities.ts'
import { materialsIn } from '../../../shared-core/mix/safety/materials-in.ts'
import type { SolidsOf } from '../../../shared-core/mix/surface/solids.ts'
import type { Material, MaterialKind, MaterialRef, Mixture } from '../../../shared-core/records/mixture.ts'

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

/**
 * Kinds as cautions go by them: a data sheet that names isocyanates counts as a hardener, and a hardener whose data sheet
 * names none is one no longer.
 */
export const cautionKinds = (
  refs: readonly MaterialRef[],
  materials: readonly Material[],
): { kind: MaterialKind; name: string }[] =>
  refs.map((ref) => {
    const named = onShelf(materials, ref)?.isocyanate ?? null
    if (named === true) return { kind: 'hardener', name: ref.name }
    return { kind: named === false && ref.kind === 'hardener' ? 'other' : ref.kind, name: ref.name }
  })

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
