import { type Random, randomFrom } from '../../electron/service/demonstration/random.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import type { FilmRecipe } from '../../shared-core/film/recipe.ts'
import { type Film, filmOf, flakes, type Spread } from './angles.ts'
import { cameraEye, type Eye, standardEye } from './eye.ts'
import { type Ground, type GroundName, groundNames, groundOf } from './grounds.ts'
import { reflectanceOf, type Veil, veiled } from './optics.ts'
import { pickSome, type Stuff, sampling, spectrumOf, stuff, type Values } from './spectra.ts'

export type MidCoat = { platelet: Values; spread: Spread; coverage: number }

/** A shop as it really is: nothing in it is known to the model that is tried on it. */
export type World = {
  film: Film
  /** Natural absorbance straight through, once, at load 1. */
  candies: ReadonlyMap<string, Values>
  grounds: ReadonlyMap<string, Ground>
  midCoats: ReadonlyMap<string, MidCoat>
  /** Film build relative to the first set-up. */
  guns: ReadonlyMap<string, number>
  /** Light that never met the film. */
  flare: number
  /** An uncleared surface: share of what lies beneath that is seen, and what its roughness adds. */
  raw: { seen: number; added: number }
  eye: Eye
}

export type WorldWish = {
  candies: number
  grounds: number
  midCoats?: number
  /** Film index and eye depart from the usual. */
  rough?: boolean
  guns?: boolean
  /** What paints are made of; open data when they are there. */
  absorbers?: Stuff
}

/** Bright silver is on every rack; further grounds are any, each kind once while there are enough. */
function someGrounds(random: Random, count: number): GroundName[] {
  const others = pickSome(random, groundNames.slice(1), Math.min(count - 1, groundNames.length - 1))
  return (['silver metallic', ...others] as GroundName[]).concat(
    Array.from({ length: Math.max(0, count - groundNames.length) }, () => random.pick(groundNames)),
  )
}

/** One or two dyes; the strength of a full cover of the usual cup varies fourfold. */
function candiesOf(random: Random, count: number, from: Stuff): Values[] {
  const dyes = from.dyes(random, Math.min(count + 3, count * 2))
  return Array.from({ length: count }, (_, i) => {
    const strength = 0.1 * 4.5 ** random.next()
    const second = random.chance(0.4) ? random.pick(dyes) : null
    const share = random.between(0.1, 0.5)
    const trace = random.between(0.001, 0.008)
    return spectrumOf((_nm, w) => trace + strength * (dyes[i]![w]! + (second ? share * second[w]! : 0)))
  })
}

function midCoatOf(random: Random, film: Film): MidCoat {
  const thickness = random.between(500, 1400)
  const level = random.between(0.3, 0.6)
  const swing = random.between(0.1, 0.9) * level
  return {
    platelet: spectrumOf((nm) => level + swing * Math.cos((2 * Math.PI * thickness) / nm)),
    spread: flakes(film, random.between(0.2, 0.32)),
    coverage: random.between(0.06, 0.18),
  }
}

export function worldOf(seed: string, wish: WorldWish): World {
  const random = randomFrom(seed)
  const from = wish.absorbers ?? stuff()
  const film = filmOf(wish.rough ? random.between(1.45, 1.6) : 1.5)
  const named = <T>(name: string, list: readonly T[]) => new Map(list.map((one, i) => [`${name}-${i + 1}`, one]))
  return {
    film,
    candies: named('candy', candiesOf(random.fork('candies'), wish.candies, from)),
    grounds: named(
      'ground',
      someGrounds(random, wish.grounds).map((name) => groundOf(random, film, name, from)),
    ),
    midCoats: named(
      'mid',
      Array.from({ length: wish.midCoats ?? 0 }, () => midCoatOf(random, film)),
    ),
    guns: named('gun', wish.guns ? [1, random.between(1.2, 1.6)] : [1]),
    flare: random.between(0, 0.003),
    raw: { seen: random.between(0.92, 0.98), added: random.between(0.012, 0.035) },
    eye: wish.rough ? cameraEye(random.fork('eye'), from) : standardEye,
  }
}

const veilOf = (coat: MidCoat, coats: number): Veil => {
  const covered = 1 - (1 - coat.coverage) ** coats
  return { own: coat.platelet.map((p) => covered * p), spread: coat.spread }
}

/** How one panel departs from the formula: film build of its coats together, and the roughness of its raw surface. */
export type Departure = { build: number; raw: number }
export const asUsual: Departure = { build: 1, raw: 1 }

export function spectrumOfRecipe(world: World, recipe: FilmRecipe, departure = asUsual): number[] {
  const ground = need(world.grounds, recipe.ground)
  const build = departure.build * (recipe.gun === null ? 1 : need(world.guns, recipe.gun))
  const dye = Array<number>(sampling.count).fill(0)
  for (const { id, load } of recipe.dyes) {
    const candy = need(world.candies, id)
    for (let w = 0; w < dye.length; w++) dye[w]! += load * build * candy[w]!
  }
  const mid = (laid: { id: string; coats: number } | null) => laid && veilOf(need(world.midCoats, laid.id), laid.coats)
  const under = mid(recipe.under)
  const parts = under ? veiled(ground.parts, under) : ground.parts
  const smooth = reflectanceOf(world.film, parts, dye, mid(recipe.over)).map((r) => r + world.flare)
  if (recipe.finish === 'cleared') return smooth
  return smooth.map((r) => world.raw.seen * r + world.raw.added * departure.raw)
}

/** What is seen, without any error of a reading. */
export const labOf = (world: World, recipe: FilmRecipe, departure = asUsual): Lab =>
  world.eye(spectrumOfRecipe(world, recipe, departure))

function need<T>(map: ReadonlyMap<string, T>, id: string): T {
  const found = map.get(id)
  if (found === undefined) throw new RangeError(`There is no ${id} in this world.`)
  return found
}
