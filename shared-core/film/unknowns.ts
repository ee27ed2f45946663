import { filmSampling } from '../colour/spectrum.ts'
import type { FilmLayout } from './fitted.ts'
import { trappedShare } from './forward.ts'
import {
  candyBasis,
  candyMean,
  groundBasis,
  groundMean,
  lossBasis,
  lossMean,
  plateletBasis,
  plateletMean,
} from './priors.ts'
import type { FilmLibrary, GroundKind } from './recipe.ts'

/**
 * The unknowns of a rack as one vector of standard normals, and what they stand for. What is believed of candies,
 * grounds and guns before anything was read stands in `priors.ts`.
 */

const n = filmSampling.count

/** What a ground is known to be before the fit: how freely its spectrum may bend, and how it sends light back. */
export type GroundBelief = { spread: number; kind: GroundKind }

/** ln of how much of a mid coat's own light is seen, against a diffuse surface: platelets send it in a lobe. */
const lobeSpread = 0.5
/** k of κ (see `trappedShare`): mean and spread by kind. */
const trapBelief: Record<GroundKind, readonly [mean: number, spread: number]> = {
  metallic: [-0.9, 0.7],
  solid: [3, 1],
  unknown: [0.5, 1.5],
}
/** ln of a gun set-up's build, relative to the commonest. */
export const gunSpread = 0.25
/** Flare, and what an uncleared surface adds flat and takes away: mean and spread. */
const flareBelief = [0.001, 0.003] as const
const hazeBelief = [0.008, 0.012] as const
const dullBelief = [-0.05, 0.08] as const

export type Candy = { column: number; absorbance: Float64Array }
export type GroundState = {
  column: number
  trapColumn: number
  shapes: Float64Array
  reflectance: Float64Array
  trapped: number
  /** dκ by its unknown. */
  trapSlope: number
}
export type MidCoatState = {
  column: number
  /** How much of its own light is seen. */
  lobe: number
  /** What one coat sends back, and what it lets through beside, both ways; 31 values. */
  platelet: Float64Array
  through: Float64Array
}
export const midCoatWidth = 1 + plateletBasis.count + lossBasis.count
export type GunState = { column: number | null; build: number }

/** What a vector of unknowns comes to. */
export type FilmState = {
  candies: Map<string, Candy>
  grounds: Map<string, GroundState>
  midCoats: Map<string, MidCoatState>
  guns: Map<string, GunState>
  usualGun: string | null
  rackColumn: number
  flare: number
  haze: number
  dull: number
}

/** Gun set-ups by how often they were used, the commonest first; ties by name. */
function gunsByUse(library: FilmLibrary): string[] {
  const uses = new Map<string, number>()
  for (const { gun, dyes } of library.observations)
    if (gun !== null && dyes.length > 0) uses.set(gun, (uses.get(gun) ?? 0) + 1)
  return [...uses].toSorted((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1)).map(([gun]) => gun)
}

/** Everything that a rack's observations name, each with its place among the unknowns. */
export function layOut(library: FilmLibrary): { layout: FilmLayout; usualGun: string | null } {
  const names = {
    candies: new Set<string>(),
    grounds: new Set<string>(),
    midCoats: new Set<string>(),
  }
  for (const { ground, dyes, under, over } of library.observations) {
    names.grounds.add(ground)
    for (const { id } of dyes) names.candies.add(id)
    if (under) names.midCoats.add(under.id)
    if (over) names.midCoats.add(over.id)
  }
  let count = 0
  const place = (ids: Iterable<string>, each: number): Map<string, number> => {
    const places = new Map<string, number>()
    // by name, so that the order of panels does not matter
    for (const id of [...ids].toSorted()) {
      places.set(id, count)
      count += each
    }
    return places
  }
  const [usualGun = null, ...others] = gunsByUse(library)
  const candies = place(names.candies, candyBasis.count)
  const grounds = place(names.grounds, groundShapes)
  const traps = place(names.grounds, 1)
  const midCoats = place(names.midCoats, midCoatWidth)
  const guns = place(others, 1)
  const rack = count
  count += 3
  return { layout: { count, candies, grounds, traps, midCoats, guns, rack }, usualGun }
}
/** One coat leaves something open. */
const mostSentBack = 0.9
const groundShapes = groundBasis(1).count

const logistic = (x: number): number => 1 / (1 + Math.exp(-x))

/** exp(mean + Σ z shapes), 31 values. */
function spectrumOf(
  z: Float64Array,
  from: number,
  count: number,
  shapes: Float64Array,
  mean: ArrayLike<number>,
): Float64Array {
  const values = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    let sum = mean[i]!
    for (let k = 0; k < count; k++) sum += z[from + k]! * shapes[k * n + i]!
    values[i] = Math.exp(sum)
  }
  return values
}

/** What the unknowns `z` come to. */
export function unpack(
  z: Float64Array,
  layout: FilmLayout,
  usualGun: string | null,
  beliefs: ReadonlyMap<string, GroundBelief>,
): FilmState {
  const candies = new Map<string, Candy>()
  for (const [id, column] of layout.candies)
    candies.set(id, { column, absorbance: spectrumOf(z, column, candyBasis.count, candyBasis.shapes, candyMean) })
  const grounds = new Map<string, GroundState>()
  for (const [id, column] of layout.grounds) {
    const { spread, kind } = beliefs.get(id) ?? { spread: 0.6, kind: 'unknown' }
    const { shapes, count } = groundBasis(spread)
    const trapColumn = layout.traps.get(id)!
    const [mean, by] = trapBelief[kind]
    const k = mean + by * z[trapColumn]!
    const open = logistic(k)
    grounds.set(id, {
      column,
      trapColumn,
      shapes,
      reflectance: spectrumOf(z, column, count, shapes, groundMean),
      trapped: trappedShare(k),
      trapSlope: trappedShare(k) * (1 - open) * by,
    })
  }
  const midCoats = new Map<string, MidCoatState>()
  for (const [id, column] of layout.midCoats) {
    const platelet = spectrumOf(z, column + 1, plateletBasis.count, plateletBasis.shapes, plateletMean)
    midCoats.set(id, {
      column,
      lobe: Math.exp(lobeSpread * z[column]!),
      platelet: platelet.map((value) => Math.min(value, mostSentBack)),
      through: spectrumOf(z, column + 1 + plateletBasis.count, lossBasis.count, lossBasis.shapes, lossMean),
    })
  }
  const guns = new Map<string, GunState>()
  if (usualGun !== null) guns.set(usualGun, { column: null, build: 1 })
  for (const [id, column] of layout.guns) guns.set(id, { column, build: Math.exp(gunSpread * z[column]!) })
  const at = layout.rack
  return {
    candies,
    grounds,
    midCoats,
    guns,
    usualGun,
    rackColumn: at,
    flare: flareBelief[0] + flareBelief[1] * z[at]!,
    haze: hazeBelief[0] + hazeBelief[1] * z[at + 1]!,
    dull: Math.exp(dullBelief[0] + dullBelief[1] * z[at + 2]!),
  }
}
export const rackSpreads = {
  lobe: lobeSpread,
  flare: flareBelief[1],
  haze: hazeBelief[1],
  dull: dullBelief[1],
} as const
