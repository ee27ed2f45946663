import type { Random } from '../../electron/service/demonstration/random.ts'
import type { FilmRecipe } from '../../shared-core/film/recipe.ts'
import { type Cup, recipeOf } from './recipes.ts'
import { pickSome } from './spectra.ts'
import type { World } from './world.ts'

/** What is on a rack, and in what manner it was sprayed. */
export type PlanWish = {
  /** Panels masked in steps instead of single ones. */
  steps?: boolean
  under?: boolean
  over?: boolean
  /** No bare ground was ever read. */
  noBare?: boolean
}

export type PlannedPanel = { steps: FilmRecipe[] }
export const categories = ['interp', 'coats', 'ground', 'blend2', 'blend3', 'pearl', 'over'] as const
export type Category = (typeof categories)[number]
export type PlannedQuestion = { category: Category; recipe: FilmRecipe }

type Parts = Cup['candies']

/**
 * A painter's rack: every candy at several coats over the main grounds, some in another carrier, some blends of pairs, bare
 * grounds, one ground that was tried with a single candy only; and recipes that were never sprayed.
 */
export function planRack(
  random: Random,
  world: World,
  wish: PlanWish,
): { panels: PlannedPanel[]; questions: PlannedQuestion[] } {
  const candies = [...world.candies.keys()]
  const grounds = [...world.grounds.keys()]
  const guns = [...world.guns.keys()]
  const main = grounds.length > 1 ? grounds.slice(0, -1) : grounds
  const rare = grounds.at(-1)!
  const midCoat = world.midCoats.keys().next().value ?? null
  const usual = random.pick([4, 5, 6])
  const thinner = usual + random.pick([3, 4, 5])
  const coats = random.pick([
    [1, 3, 5],
    [2, 3, 5],
    [1, 2, 4],
    [2, 4, 6],
  ])
  const most = Math.max(...coats)
  const pairs = candies.flatMap((a, i) => candies.slice(i + 1).map((b) => [a, b]))
  const tried = pickSome(random, pairs, Math.min(4, Math.ceil(pairs.length / 2)))
  const untried = pairs.filter((pair) => !tried.includes(pair))
  const triples = pairs.flatMap(([a, b]) => candies.slice(candies.indexOf(b!) + 1).map((c) => [a!, b!, c]))

  const cup = (given: Omit<Cup, 'gun' | 'reducer'>): Cup =>
    guns.length > 1
      ? { ...given, gun: random.chance(0.65) ? guns[0]! : guns[1]!, reducer: random.pick([0, 0, 0.05, 0.1, 0.2]) }
      : { ...given, gun: guns[0]! }
  const one = (id: string): Parts => [{ id, parts: 1 }]
  const mixed = (ids: readonly string[], high: number): Parts => ids.map((id) => ({ id, parts: random.whole(1, high) }))

  const panels: PlannedPanel[] = []
  const spray = (given: Cup, at: readonly number[]) => {
    const step = (c: number) =>
      c === 0 ? recipeOf({ ...given, candies: [], coats: 0 }) : recipeOf({ ...given, coats: c })
    if (wish.steps) panels.push({ steps: at.map(step) })
    else for (const c of at) panels.push({ steps: [recipeOf({ ...cup({ ...given, coats: c }) })] })
  }
  const bare = (ground: string, under: Cup['under'] = null) =>
    panels.push({ steps: [recipeOf({ ...cup({ ground, under, candies: [], carrierParts: 0, coats: 0 }) })] })

  if (!wish.noBare) for (const ground of grounds) for (let k = 0; k < random.whole(1, 2); k++) bare(ground)
  const stepsOf = () =>
    wish.steps ? [...(wish.noBare ? [] : [0]), ...Array.from({ length: most }, (_, i) => i + 1)] : coats
  for (const id of candies) {
    main.forEach((ground, g) => {
      const some = wish.steps || g === 0 ? stepsOf() : pickSome(random, coats, random.whole(2, coats.length))
      spray(cup({ ground, candies: one(id), carrierParts: usual, coats: 0 }), some)
    })
    if (!wish.steps)
      spray(cup({ ground: main[0]!, candies: one(id), carrierParts: thinner, coats: 0 }), [random.pick(coats)])
  }
  for (const pair of tried)
    for (let k = 0; k < 3; k++)
      spray(
        cup({ ground: random.pick(main), candies: mixed(pair, 4), carrierParts: usual, coats: 0 }),
        wish.steps ? [2, most] : [random.pick(coats)],
      )
  if (rare !== main[0])
    spray(cup({ ground: rare, candies: one(candies[0]!), carrierParts: usual, coats: 0 }), coats.slice(0, 2))
  if (midCoat && wish.under) {
    const under = { id: midCoat, coats: 1 }
    bare(main[0]!, under)
    bare(main.at(-1)!, under)
    for (const id of candies.slice(0, 2))
      spray(cup({ ground: main[0]!, under, candies: one(id), carrierParts: usual, coats: 0 }), coats.slice(0, 2))
  }
  if (midCoat && wish.over)
    for (const [k, id] of candies.slice(0, 3).entries())
      for (const c of [1, 2, 3].slice(k === 2 ? 1 : 0, k === 0 ? 3 : 2))
        spray(
          cup({
            ground: main[k % main.length]!,
            over: { id: midCoat, coats: c },
            candies: one(id),
            carrierParts: usual,
            coats: 0,
          }),
          [coats[1]!],
        )

  const questions: PlannedQuestion[] = []
  const ask = (category: Category, count: number, given: () => Omit<Cup, 'gun' | 'reducer'>) => {
    for (let k = 0; k < count; k++) questions.push({ category, recipe: recipeOf(cup(given())) })
  }
  const carrier = () => random.whole(usual, thinner)
  const anyOf = () => random.pick(main)
  ask('interp', 4, () => ({
    ground: anyOf(),
    candies: one(random.pick(candies)),
    carrierParts: carrier(),
    coats: random.whole(1, most),
  }))
  if (tried.length > 0)
    ask('interp', 3, () => ({
      ground: anyOf(),
      candies: mixed(random.pick(tried), 6),
      carrierParts: usual,
      coats: random.whole(1, most),
    }))
  ask('coats', 4, () => ({
    ground: anyOf(),
    candies: one(random.pick(candies)),
    carrierParts: carrier(),
    coats: most + random.whole(2, 3),
  }))
  if (rare !== main[0] && candies.length > 1)
    ask('ground', 4, () => ({
      ground: rare,
      candies: one(random.pick(candies.slice(1))),
      carrierParts: usual,
      coats: random.whole(1, most),
    }))
  if (untried.length > 0)
    ask('blend2', 3, () => ({
      ground: anyOf(),
      candies: mixed(random.pick(untried), 5),
      carrierParts: carrier(),
      coats: random.whole(1, most),
    }))
  if (triples.length > 0)
    ask('blend3', 4, () => ({
      ground: anyOf(),
      candies: mixed(random.pick(triples), 5),
      carrierParts: carrier(),
      coats: random.whole(1, most),
    }))
  const candy = () => one(random.pick(candies))
  if (midCoat && wish.under)
    ask('pearl', 4, () => ({
      ground: random.pick([main[0]!, main.at(-1)!]),
      under: { id: midCoat, coats: 1 },
      candies: candy(),
      carrierParts: usual,
      coats: random.whole(1, most),
    }))
  if (midCoat && wish.over)
    ask('over', 8, () => ({
      ground: anyOf(),
      over: { id: midCoat, coats: random.whole(1, 3) },
      candies: candy(),
      carrierParts: usual,
      coats: random.whole(1, most),
    }))
  return { panels, questions }
}
