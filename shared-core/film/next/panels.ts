import { type FilmFormula, recipeOfFormula } from '../formula.ts'
import type { FilmPanel, FilmProbe } from '../next.ts'
import type { FilmObservation } from '../recipe.ts'
import { type Use, usesOf } from './uses.ts'

/** So many keep a large rack quick. */
const mostProbes = 240
const mostCandidates = 250
/** Films of things that nobody has read that are among them whatever they weigh. */
const mostNew = 30
/** Grounds and candies that blends are tried of: the most used. */
const mostBlended = 5
const mostGroundsOfBlends = 3

/** Steps of a panel: a bare strip, and coats that double up to the usual. */
function stepCoats(usual: number): number[] {
  const half = Math.max(1, Math.round(usual / 2))
  const quarter = Math.max(1, Math.round(usual / 4))
  return [...new Set([0, quarter, half, usual])]
}

/** The formula over each ground at each of the coats: what the plan's table shows. */
export function probesOfTable(formula: FilmFormula, grounds: readonly string[], coats: readonly number[]): FilmProbe[] {
  return grounds.flatMap((ground) =>
    coats.map((count) => ({ recipe: recipeOfFormula({ ...formula, ground }, count), weight: 1 })),
  )
}

/** Panels that could teach of a table: its formula, and each of its candies alone, over each of its grounds. */
export function panelsOfTable(formula: FilmFormula, grounds: readonly string[], coats: readonly number[]): FilmPanel[] {
  const steps = stepCoats(Math.max(1, ...coats))
  const alone =
    formula.candies.length > 1 ? formula.candies.map(({ id }) => ({ ...formula, candies: [{ id, parts: 1 }] })) : []
  return grounds.flatMap((ground) =>
    [formula, ...alone].map((each) => ({ formula: { ...each, ground }, coats: each.candies.length > 0 ? steps : [0] })),
  )
}

/** Things that the painter has: new ones count as sprayed once. */
export type Having = { grounds: readonly string[]; candies: readonly string[] }

/** Where the painter works: candies and blends over grounds, each by how often it was sprayed. */
export function probesOfRack(observations: readonly FilmObservation[], having: Having): FilmProbe[] {
  const { grounds, candies, blends, usualCoats, cup } = usesOf(observations, having)
  const coats = [...new Set([1, Math.max(1, Math.round(usualCoats / 2)), usualCoats])]
  const films: Use<FilmFormula['candies']>[] = [
    ...candies.map(({ of, count }) => ({ of: [{ id: of, parts: 1 }], count })),
    ...blends,
  ]
  const all = films.flatMap(({ of, count }) =>
    grounds.map((ground) => ({ ground: ground.of, candies: of, weight: count * ground.count })),
  )
  return newFirst(observations, all)
    .slice(0, Math.ceil(mostProbes / coats.length))
    .flatMap(({ ground, candies: of, weight }) =>
      coats.map((count) => ({ recipe: recipeOfFormula({ ...cup, ground, candies: of }, count), weight })),
    )
}

type Film = { ground: string; candies: FilmFormula['candies']; weight: number }

/** The weightiest first, and before them some of what nobody has read: where little weighs, most is to be learnt. */
function newFirst(observations: readonly FilmObservation[], films: readonly Film[]): Film[] {
  const read = new Set(observations.flatMap(({ dyes }) => dyes.map(({ id }) => id)))
  const seen = new Set(observations.map(({ ground }) => ground))
  const sorted = films.toSorted((a, b) => b.weight - a.weight)
  const some = sorted
    .filter(({ ground, candies }) => !seen.has(ground) || candies.some(({ id }) => !read.has(id)))
    .slice(0, mostNew)
  return [...some, ...sorted.filter((film) => !some.includes(film))]
}

/**
 * Panels that could teach of the whole rack: every candy over every ground in steps with a bare strip, blends over the
 * grounds that are used most, and bare grounds that were not read under clear.
 */
export function panelsOfRack(observations: readonly FilmObservation[], having: Having): FilmPanel[] {
  const { grounds, candies, blends, usualCoats, cup } = usesOf(observations, having)
  const coats = stepCoats(usualCoats)
  const bare = grounds
    .filter(({ of }) => !observations.some((seen) => seen.ground === of && isBareUnderClear(seen)))
    .map(({ of }) => ({ formula: { ...cup, ground: of, candies: [] }, coats: [0] }))
  const single = newFirst(
    observations,
    grounds.flatMap((ground) =>
      candies.map((candy) => ({
        ground: ground.of,
        candies: [{ id: candy.of, parts: 1 }],
        weight: ground.count * candy.count,
      })),
    ),
  ).map(({ ground, candies: alone }) => ({ formula: { ...cup, ground, candies: alone }, coats }))
  const most = candies.slice(0, mostBlended).map(({ of }) => of)
  const even = most.flatMap((a, i) =>
    most.slice(i + 1).map((b) => [
      { id: a, parts: 1 },
      { id: b, parts: 1 },
    ]),
  )
  const blended = grounds.slice(0, mostGroundsOfBlends).flatMap(({ of: ground }) =>
    [...blends.slice(0, mostBlended).map(({ of }) => of), ...even].map((each) => ({
      formula: { ...cup, ground, candies: each },
      coats,
    })),
  )
  return [...bare, ...single.slice(0, Math.max(0, mostCandidates - bare.length - blended.length)), ...blended]
}

const isBareUnderClear = ({ dyes, under, over, finish }: FilmObservation): boolean =>
  dyes.length === 0 && !under && !over && finish === 'cleared'
