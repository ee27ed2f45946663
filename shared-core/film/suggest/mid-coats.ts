import type { FilmObservation } from '../recipe.ts'

/** A mid coat as it may be tried: where it lies, and how many coats of it. */
export type MidCoatTried = { place: 'under' | 'over'; id: string; coats: number }

/** Each multiplies the search; those that are sprayed most come first. */
const mostTried = 4

/** Mid coats that were read, each where it was sprayed and in its commonest coats, the most used first. */
export function midCoatsToTry(observations: readonly FilmObservation[]): MidCoatTried[] {
  const sprayed = observations.flatMap(({ under, over }): MidCoatTried[] => [
    ...(under ? [{ place: 'under' as const, ...under }] : []),
    ...(over ? [{ place: 'over' as const, ...over }] : []),
  ])
  const uses = [...Map.groupBy(sprayed, ({ place, id }) => JSON.stringify([place, id]))]
  return uses
    .toSorted(([a, many], [b, more]) => more.length - many.length || (a < b ? -1 : 1))
    .slice(0, mostTried)
    .flatMap(([, all]) => commonest(all))
}

function commonest(all: readonly MidCoatTried[]): MidCoatTried[] {
  const [first] = [...Map.groupBy(all, ({ coats }) => coats)].toSorted(
    ([a, many], [b, more]) => more.length - many.length || a - b,
  )
  return first ? first[1].slice(0, 1) : []
}
