import type { MaterialKind, MaterialRef } from '../../records/mixture.ts'
import { sameMaterial } from '../cup/contents.ts'

/** Dye shows every speck and goes through this strainer, in µm: common practice, no source. */
export const dyeStrainerUm = 125

/** Metal flake is 100 to 400 µm across: common practice, no source. */
export const usualFlakeUm = { least: 100, most: 400 } as const

/** In the order they are poured. */
export type Straining = {
  /** Goes in before straining, and through the strainer. */
  before: readonly MaterialRef[]
  /** Goes in after straining: flake would stay in the strainer. */
  after: readonly MaterialRef[]
  strainerUm: number | null
  /** What to do, in order: whole sentences. */
  steps: readonly string[]
  /** What is odd about the order or the sizes. */
  warnings: readonly string[]
}

/**
 * Stir, strain, flake, stand. Pearl and dry powder of other kinds go by their data sheets, as flake does.
 * @param ingredients  in pouring order
 */
export function strainingFor(ingredients: readonly MaterialRef[]): Straining {
  const once = ingredients.filter((each, at) => ingredients.findIndex((other) => sameMaterial(other, each)) === at)
  const has = (kind: MaterialKind): boolean => once.some((each) => each.kind === kind)
  const after = once.filter(({ kind }) => kind === 'flake')
  const before = once.filter(({ kind }) => kind !== 'flake')
  const names = (some: readonly MaterialRef[]): string => some.map(({ name }) => name).join(', ')
  const pearls = before.filter(({ kind }) => kind === 'pearl')
  const strainerUm = has('concentrate') ? dyeStrainerUm : null
  const steps: string[] = []
  if (before.length > 0) steps.push('Stir until it is even.')
  if (strainerUm !== null) steps.push(`Strain through ${strainerUm} µm: dye shows every speck.`)
  else if (before.length > 0) steps.push('Strain as the data sheet says.')
  if (pearls.length > 0) steps.push(`${names(pearls)}: strained as its data sheet says.`)
  if (after.length > 0) {
    steps.push(`Then stir in ${names(after)}: it would stay in that strainer. Strain it only as its data sheet says.`)
  }
  steps.push('Let it stand 10 to 15 minutes, and stir once more before it goes into the gun.')
  const firstFlake = ingredients.findIndex(({ kind }) => kind === 'flake')
  const lastDye = ingredients.findLastIndex(({ kind }) => kind === 'concentrate')
  const warnings =
    firstFlake >= 0 && firstFlake < lastDye
      ? [`${names(after)} stands before a dye in this formula. Keep it back until the dye has been strained.`]
      : []
  return { before, after, strainerUm, steps, warnings }
}
