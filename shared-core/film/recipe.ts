import type { Lab } from '../colour/lab.ts'

/** Candies, grounds, mid coats and gun set-ups are named by ids of the caller's choice. */
export type FilmRecipe = {
  ground: string
  /** A pearl or flake coat between ground and candy; coats above 0. */
  under: { id: string; coats: number } | null
  /** Dyes in the film. `load`: see `dyeLoad`, before the gun set-up's build factor; stacked candies and repeats add up. */
  dyes: readonly { id: string; load: number }[]
  /** Coats of candy that laid these loads: what the film build scatters by. 0 with no dye: the bare ground. */
  coats: number
  /** A pearl or flake coat over the candy. */
  over: { id: string; coats: number } | null
  /** Null: the commonest set-up. */
  gun: string | null
  finish: 'cleared' | 'uncleared'
}

/** What lies in a film and over what, whatever the amounts. */
export const filmKey = ({ ground, under, over, dyes }: FilmRecipe): string =>
  JSON.stringify([ground, under?.id, over?.id, ...dyes.map(({ id }) => id).toSorted()])

/** One read step of the rack. */
export type FilmObservation = FilmRecipe & {
  /** Steps of one panel share its mixing and the coats that they have in common. */
  id: string
  panel: string
  /** Read colour, D50, 2°. */
  lab: Lab
  /** Mean length in dE00 of this reading's own error (a 90 % bound is about 1.57 times it). */
  noise: number
  /** Readings of one photo or set-up share an error: its name and its mean length in dE00, not contained in `noise`. */
  shared: readonly { by: string; noise: number }[]
}

/** What a ground is known to be before it was read: how it sends light back. */
export type GroundKind = 'metallic' | 'solid' | 'unknown'

export type FilmLibrary = {
  observations: readonly FilmObservation[]
  /** Kinds of grounds; one that is not named is `unknown`. */
  groundKinds: ReadonlyMap<string, GroundKind>
  /** Scatter of one coat's film build (0.08 is 8 %); null: estimated from the observations. */
  scatterPerCoat: number | null
}

/** A colour that nobody has sprayed, with its doubt. */
export type FilmPrediction = {
  lab: Lab
  /** Covariance of L*, a*, b* of "what this formula gives", 3 × 3 row by row. */
  covariance: Float64Array
  /** dE00, mean length, that comes on top in every direction: what the model cannot follow. */
  noise: number
  /** 90 % bound in dE00 of what this formula gives. */
  bound90: number
  /** 90 % bound in dE00 of what the next panel will read. */
  nextPanel90: number
}
