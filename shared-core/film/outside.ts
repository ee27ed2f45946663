import type { FilmFit } from './fitted.ts'
import type { FilmRecipe } from './recipe.ts'

/** One way in which a recipe lies beyond what was sprayed; candies, grounds and mid coats by id. */
export type OutsideFact =
  | { kind: 'coats'; ground: string; most: number }
  | { kind: 'load'; candy: string; times: number }
  | { kind: 'pair'; candy: string; ground: string }
  | { kind: 'mid-coat'; id: string; place: 'under' | 'over' }
  | { kind: 'mid-coats'; id: string; most: number }
  | { kind: 'finish'; finish: FilmRecipe['finish'] }

export type FilmOutside = {
  /** 0: among what was sprayed; 1: as far beyond as the sprayed range is wide. */
  extent: number
  facts: OutsideFact[]
}

type Sprayed = {
  coatsOver: Map<string, number>
  load: Map<string, number>
  pairs: Set<string>
  mids: Map<string, number>
  finishes: Set<string>
}

const kept = new WeakMap<FilmFit, Sprayed>()
const pair = (candy: string, ground: string): string => JSON.stringify([candy, ground])

function sprayedOf(fit: FilmFit): Sprayed {
  const known = kept.get(fit)
  if (known) return known
  const seen: Sprayed = {
    coatsOver: new Map(),
    load: new Map(),
    pairs: new Set(),
    mids: new Map(),
    finishes: new Set(),
  }
  const raise = (map: Map<string, number>, key: string, value: number) =>
    void map.set(key, Math.max(map.get(key) ?? 0, value))
  for (const { ground, dyes, coats, under, over, finish } of fit.observations) {
    seen.finishes.add(finish)
    if (dyes.length > 0) raise(seen.coatsOver, ground, coats)
    for (const { id, load } of dyes) {
      raise(seen.load, id, load)
      seen.pairs.add(pair(id, ground))
    }
    if (under) raise(seen.mids, pair(under.id, 'under'), under.coats)
    if (over) raise(seen.mids, pair(over.id, 'over'), over.coats)
  }
  kept.set(fit, seen)
  return seen
}

/** What a step out of kind counts, where no range tells how far it is. Set by judgement. */
const ofAnotherKind = 0.5
/** Figures of formulas that were typed differently and mean the same. */
const slack = 1e-6

/**
 * How far a recipe lies beyond the readings that a fit rests on: coats over its ground, load of each candy, candies that
 * were never seen over the ground, mid coats that were never seen in their place, a finish that nobody read.
 */
export function outsideOf(fit: FilmFit, recipe: FilmRecipe): FilmOutside {
  const seen = sprayedOf(fit)
  const facts: OutsideFact[] = []
  let extent = 0
  const tell = (fact: OutsideFact, by: number) => {
    facts.push(fact)
    extent = Math.max(extent, by)
  }
  const { ground, dyes, coats, finish } = recipe
  const most = seen.coatsOver.get(ground)
  if (dyes.length > 0 && most !== undefined && coats > most * (1 + slack))
    tell({ kind: 'coats', ground, most }, coats / most - 1)
  for (const { id, load } of dyes) {
    const highest = seen.load.get(id)
    if (highest !== undefined && load > highest * (1 + slack))
      tell({ kind: 'load', candy: id, times: load / highest }, load / highest - 1)
    if (!seen.pairs.has(pair(id, ground))) tell({ kind: 'pair', candy: id, ground }, ofAnotherKind)
  }
  for (const place of ['under', 'over'] as const) {
    const mid = recipe[place]
    if (!mid) continue
    const highest = seen.mids.get(pair(mid.id, place))
    if (highest === undefined) tell({ kind: 'mid-coat', id: mid.id, place }, 1)
    else if (mid.coats > highest) tell({ kind: 'mid-coats', id: mid.id, most: highest }, mid.coats / highest - 1)
  }
  if (!seen.finishes.has(finish)) tell({ kind: 'finish', finish }, ofAnotherKind)
  return { extent, facts }
}
