import { type FilmFormula, reducedParts } from '../formula.ts'
import { dyeLoad } from '../forward.ts'
import type { FilmObservation } from '../recipe.ts'

/** A thing and on how many panels it is. */
export type Use<T> = { of: T; count: number }

export type Uses = {
  /** The most used first. */
  grounds: Use<string>[]
  candies: Use<string>[]
  /** Blends of two and more, in whole parts. */
  blends: Use<FilmFormula['candies']>[]
  /** What panels are taken to: a quarter of them further. */
  usualCoats: number
  /** The commonest cup without its candies and ground: carrier as sprayed, reducer and hardener counted in it. */
  cup: Omit<FilmFormula, 'ground' | 'candies'>
}

/** Four where the rack does not say (common practice, no source). */
const coatsByDefault = 4
/** Six parts of carrier to one of blend (common practice, no source). */
const carrierByDefault = 6
/** Marks on a mixing cup go about so far. */
const mostParts = 12

const ranked = <T>(counts: ReadonlyMap<T, number>): Use<T>[] =>
  [...counts].map(([of, count]) => ({ of, count })).toSorted((a, b) => b.count - a.count)

const quantileOf = (values: readonly number[], share: number): number | undefined =>
  values.toSorted((a, b) => a - b)[Math.floor(share * (values.length - 1))]

/** How a rack was sprayed; each panel counts once for what is on it, and what the painter has beside counts as one panel. */
export function usesOf(
  observations: readonly FilmObservation[],
  having: { grounds: readonly string[]; candies: readonly string[] },
): Uses {
  const grounds = new Map<string, number>(having.grounds.map((id) => [id, 1]))
  const candies = new Map<string, number>(having.candies.map((id) => [id, 1]))
  const blends = new Map<string, Use<FilmFormula['candies']>>()
  const coats: number[] = []
  const shares: number[] = []
  const add = <T>(counts: Map<T, number>, of: T) => counts.set(of, (counts.get(of) ?? 0) + 1)
  for (const steps of Map.groupBy(observations, ({ panel }) => panel).values()) {
    const last = steps.reduce((a, b) => (b.coats > a.coats ? b : a))
    if (grounds.has(last.ground)) add(grounds, last.ground)
    if (last.dyes.length === 0) continue
    coats.push(last.coats)
    shares.push(shareOf(last))
    if (!last.dyes.every(({ id }) => candies.has(id))) continue
    if (last.dyes.length === 1) add(candies, last.dyes[0]!.id)
    else {
      const blend = wholeBlend(last)
      const key = JSON.stringify(blend)
      blends.set(key, { of: blend, count: (blends.get(key)?.count ?? 0) + 1 })
    }
  }
  const share = quantileOf(shares, 0.5)
  return {
    grounds: ranked(grounds),
    candies: ranked(candies),
    blends: [...blends.values()].toSorted((a, b) => b.count - a.count),
    usualCoats: Math.max(1, Math.round(quantileOf(coats, 0.75) ?? coatsByDefault)),
    cup: {
      carrierParts: share === undefined ? carrierByDefault : Math.min(40, Math.max(0, Math.round(1 / share - 1))),
      reducerPercent: 0,
      hardenerPercent: 0,
      under: null,
      over: null,
      gun: null,
      finish: 'cleared',
    },
  }
}

/** The blend's share of the cup that a step was sprayed with. */
const shareOf = ({ dyes, coats }: FilmObservation): number =>
  dyes.reduce((sum, { load }) => sum + load, 0) / dyeLoad(Math.max(coats, 1e-6), 1)

/** The ratio of a film's dyes in whole parts, as near as a cup's marks allow; candies by id. */
function wholeBlend({ dyes }: FilmObservation): FilmFormula['candies'] {
  const sorted = dyes.toSorted((a, b) => (a.id < b.id ? -1 : 1))
  const most = Math.max(...sorted.map(({ load }) => load))
  let best: number[] = []
  let least = Number.POSITIVE_INFINITY
  for (let scale = 1; scale <= mostParts; scale++) {
    const parts = sorted.map(({ load }) => Math.max(1, Math.round((load / most) * scale)))
    const off = sorted.reduce((sum, { load }, j) => sum + Math.abs(load / most - parts[j]! / scale), 0)
    if (off < least - 0.01) [least, best] = [off, parts]
  }
  const parts = reducedParts(best)
  return sorted.map(({ id }, j) => ({ id, parts: parts[j]! }))
}
