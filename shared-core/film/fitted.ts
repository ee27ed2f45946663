import type { Lab } from '../colour/lab.ts'
import type { FilmObservation, GroundKind } from './recipe.ts'

/** The most likely candies, grounds and set-ups of a rack, with how much is known of them. Plain data: it can cross to a worker. */
export type FilmFit = {
  /** Natural absorbance of the round trip at load 1, 31 values (400–700 nm by 10), by candy. */
  absorbance: ReadonlyMap<string, Float64Array>
  /** Reflectance under clear (31) and trapped share κ, by ground. */
  grounds: ReadonlyMap<string, { reflectance: Float64Array; trapped: number }>
  /** Film build relative to the commonest set-up, by gun set-up. */
  builds: ReadonlyMap<string, number>
  usualGun: string | null
  /** Ids of mid coats that were seen. */
  midCoats: ReadonlySet<string>
  scatterPerCoat: number
  /** The most of each candy that was sprayed, as load, over any ground. */
  mostSprayed: ReadonlyMap<string, number>
  /** All unknowns, standardised (prior N(0, 1)), and their posterior covariance, n × n row by row. */
  unknowns: Float64Array
  covariance: Float64Array
  layout: FilmLayout
  /** By ground: how freely its spectrum may bend, and how it was believed to send light back. */
  beliefs: ReadonlyMap<string, { spread: number; kind: GroundKind }>
  observations: readonly FilmObservation[]
  /** By observation: what the model gives, and what is left over. */
  residuals: readonly FilmResidual[]
  /** Which films were read over which ground, see `filmKey`. */
  films: ReadonlySet<string>
  /** Mean length in dE00 of a reading's own error, and with what it shares with its photo; the middle ones of the rack. */
  ownNoise: number
  usualNoise: number
  steps: number
  converged: boolean
}

/** Where the unknowns of each thing start in the vector of all unknowns. */
export type FilmLayout = {
  count: number
  candies: ReadonlyMap<string, number>
  grounds: ReadonlyMap<string, number>
  traps: ReadonlyMap<string, number>
  midCoats: ReadonlyMap<string, number>
  guns: ReadonlyMap<string, number>
  /** Flare, and what an uncleared film adds. */
  rack: number
}

export type FilmResidual = {
  id: string
  /** What the formula gives at the usual build, D50, 2°. */
  expected: Lab
  /** dE00 between read and expected, and what the doubts of both allow, 90 %. */
  de00: number
  allowed90: number
  /** Film build that would explain the reading best, 1: as the formula says. */
  build: number
  /** dE00 that is left with that build. */
  leftOver: number
  /** 0 to 1: how much this reading counts in the fit. */
  weight: number
}

/** How a predicted colour moves with the unknowns: the columns that matter and three rows (L*, a*, b*) of them. */
export type FilmSlope = {
  lab: Lab
  columns: Int32Array
  rows: Float64Array
  perBuild: readonly [number, number, number]
}
