import { dyeLoad } from '../../../shared-core/film/forward.ts'
import type { FilmLibrary, FilmRecipe, GroundKind } from '../../../shared-core/film/recipe.ts'

/** A panel or a question of a `film-library/1` file. */
type Cup = {
  id: string
  ground: string
  /** A mid coat under the candy. */
  pearl: string | null
  candies: { id: string; parts: number }[]
  /** Parts of carrier to one part of blend. */
  carrierParts: number
  /** 0: the ground alone. */
  coats: number
  gun?: string
  /** A fraction on top of the mixture. */
  reducer?: number
}

export type LibraryFile = {
  /** `film-library/1` */
  format: string
  /** Mean dE00 of one reading's error. */
  readNoise: number
  thicknessSdPerCoat: number
  grounds: { id: string; kind: string }[]
  panels: (Cup & { labD50: [number, number, number] })[]
  questions: Cup[]
}

export function recipeOf({ ground, pearl, candies, carrierParts, coats, gun, reducer }: Cup): FilmRecipe {
  const parts = candies.reduce((sum, candy) => sum + candy.parts, 0)
  const dilution = (1 + carrierParts) * (1 + (reducer ?? 0))
  const sprayed = coats > 0 && parts > 0
  return {
    ground,
    under: pearl === null ? null : { id: pearl, coats: 1 },
    dyes: sprayed
      ? candies.map((candy) => ({ id: candy.id, load: dyeLoad(coats, candy.parts / parts / dilution) }))
      : [],
    coats: sprayed ? coats : 0,
    over: null,
    gun: gun ?? null,
    // the files keep no raw surfaces apart
    finish: 'cleared',
  }
}

/** "silver metallic", "coloured solid": how a ground sends light back is said by the last word. */
function kindOf(words: string): GroundKind {
  if (words.includes('metallic')) return 'metallic'
  return words.includes('solid') ? 'solid' : 'unknown'
}

export const libraryOf = (file: LibraryFile): FilmLibrary => ({
  observations: file.panels.map((panel) => {
    const [l, a, b] = panel.labD50
    return { ...recipeOf(panel), id: panel.id, panel: panel.id, lab: { l, a, b }, noise: file.readNoise, shared: [] }
  }),
  groundKinds: new Map(file.grounds.map(({ id, kind }) => [id, kindOf(kind)])),
  scatterPerCoat: file.thicknessSdPerCoat,
})
