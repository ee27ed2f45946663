import { combineReadings, likeReadings } from '../capture/combine.ts'
import { describeDifference } from '../colour/words.ts'
import type { CombinedColour } from '../records/match.ts'
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
  /** Of a combined colour the one that weighs most in it. */
  readonly candidate: C
  readonly combined: CombinedColour | null
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

type Compared<C> = {
  readonly candidate: C
  readonly combined: CombinedColour | null
  readonly comparison: Comparison
}

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

/** The colours of one step: each reading that is alone of its kind, and several alike as their combined colour. */
function coloursOf<C extends Candidate>(reference: Comparable, candidates: readonly C[]): Compared<C>[] {
  if (candidates.length === 1) return candidates.map((candidate) => asItIs(reference, candidate))
  const byReading = new Map<Comparable, C>(candidates.map((candidate) => [candidate.reading, candidate]))
  return likeReadings(candidates.map(({ reading }) => reading)).map((alike) => {
    if (alike.length === 1) return asItIs(reference, byReading.get(alike[0]!)!)
    const { lab, bound90, used, outliers, disagreement } = combineReadings(alike)
    const candidate = byReading.get(used[0]!.reading)!
    // a light that only some of them name is the light of all
    const lightId = alike.find((reading) => reading.lightId !== null)?.lightId ?? null
    const mean = used.map(({ reading, weight }) => ({ weight, of: reading }))
    return {
      candidate,
      combined: { lab, bound90, count: used.length, leftOut: outliers.length, disagree: disagreement !== null },
      comparison: compareReadings(reference, { ...candidate.reading, lab, bound90, lightId, mean }),
    }
  })
}

const asItIs = <C extends Candidate>(reference: Comparable, candidate: C): Compared<C> => ({
  candidate,
  combined: null,
  comparison: compareReadings(reference, candidate.reading),
})

/**
 * The steps nearest to a reference by CIEDE2000, nearest first, equals by the older panel; the order of the input does
 * not matter. Each step comes once, by its best colour: the one most alike to the reference (fewest `unlike` words),
 * of these the nearest. Otherwise a flop reading would pass for the face of a panel because it happens to lie nearer.
 * Readings of a step that are alike (view, stage, light) count as one, their combined colour: else a step that was read
 * often would come nearest by chance.
 * @param candidates  readings that have passed the filters; those of one step share its `stepId`
 */
export function rankMatches<C extends Candidate>(
  reference: Comparable,
  candidates: Iterable<C>,
  options: RankOptions,
): Ranked<C>[] {
  const steps = new Map<string, C[]>()
  for (const candidate of candidates) {
    const known = steps.get(candidate.stepId)
    if (known) known.push(candidate)
    else steps.set(candidate.stepId, [candidate])
  }
  const best: Compared<C>[] = []
  for (const step of steps.values()) {
    const colours = coloursOf(reference, step)
    best.push(
      colours.reduce((a, b) => {
        const more = b.comparison.unlike.length - a.comparison.unlike.length
        return (more || byNearness(b, a)) < 0 ? b : a
      }),
    )
  }
  return best
    .toSorted(byNearness)
    .slice(0, options.count)
    .map(({ candidate, combined, comparison }) => ({
      candidate,
      combined,
      de00: comparison.de00,
      bound90: comparison.bound90,
      words: describeDifference(comparison.from, comparison.to),
      couldBeSame: comparison.de00 - comparison.bound90 <= options.sameLimit,
      unlike: [...comparison.unlike],
    }))
}
