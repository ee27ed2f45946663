import { describeDifference } from '../colour/words.ts'
import { type Comparable, type Comparison, compareReadings } from './compare.ts'

/** One reading of one step; whatever else it carries comes back with it. */
export type Candidate = {
  readonly stepId: string
  readonly panelCode: string
  /** ISO 8601, UTC: decides between equals. */
  readonly panelCreatedAt: string
  readonly reading: Comparable & { readonly id: string }
}

export type Ranked<C extends Candidate> = {
  readonly candidate: C
  readonly de00: number
  readonly bound90: number
  readonly words: string
  readonly couldBeSame: boolean
  readonly unlike: string[]
}

export type RankOptions = {
  /** dE00 up to which two colours count as the same. */
  readonly sameLimit: number
  /** How many to give back, nearest first. */
  readonly count: number
}

type Compared<C> = { readonly candidate: C; readonly comparison: Comparison }

const inOrder = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)

function byNearness<C extends Candidate>(a: Compared<C>, b: Compared<C>): number {
  return (
    a.comparison.de00 - b.comparison.de00 ||
    inOrder(a.candidate.panelCreatedAt, b.candidate.panelCreatedAt) ||
    inOrder(a.candidate.panelCode, b.candidate.panelCode) ||
    inOrder(a.candidate.stepId, b.candidate.stepId) ||
    inOrder(a.candidate.reading.id, b.candidate.reading.id)
  )
}

/**
 * The steps nearest to a reference by CIEDE2000, nearest first, equals by the older panel; the order of the input does
 * not matter. Each step comes once, by its best reading: the one most alike to the reference (fewest `unlike` words),
 * of these the nearest. Otherwise a flop reading would pass for the face of a panel because it happens to lie nearer.
 * @param candidates  readings that have passed the filters; those of one step share its `stepId`
 */
export function rankMatches<C extends Candidate>(
  reference: Comparable,
  candidates: Iterable<C>,
  options: RankOptions,
): Ranked<C>[] {
  const best = new Map<string, Compared<C>>()
  for (const candidate of candidates) {
    const found = { candidate, comparison: compareReadings(reference, candidate.reading) }
    const known = best.get(candidate.stepId)
    if (known !== undefined) {
      const more = found.comparison.unlike.length - known.comparison.unlike.length
      if ((more || byNearness(found, known)) >= 0) continue
    }
    best.set(candidate.stepId, found)
  }
  return [...best.values()]
    .toSorted(byNearness)
    .slice(0, options.count)
    .map(({ candidate, comparison }) => ({
      candidate,
      de00: comparison.de00,
      bound90: comparison.bound90,
      words: describeDifference(comparison.from, comparison.to),
      couldBeSame: comparison.de00 - comparison.bound90 <= options.sameLimit,
      unlike: [...comparison.unlike],
    }))
}
