import { combineReadings, likeReadings } from '../capture/combine.ts'
import type { DifferenceWeights } from '../colour/difference.ts'
import { describeDifference } from '../colour/words.ts'
import type { CombinedColour } from '../records/match.ts'
import { chanceSame, couldBeSame } from './chance.ts'
import { type Comparable, type Comparison, compareReadings, isLike } from './compare.ts'

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
  readonly chanceSame: number
  readonly unlike: string[]
  readonly unlikeness: number
}

export type RankOptions = {
  /** dE00 up to which two colours count as the same. */
  readonly sameLimit: number
  /** How many to give back, nearest first. */
  readonly count: number
  /** Parametric factors of the difference that is ranked by; left out: 1 : 1 : 1. */
  readonly weights?: DifferenceWeights | null | undefined
  /** Only steps whose dE00 is at most this. */
  readonly within?: number | null | undefined
  /** Only steps that were read as the reference was, see `isLike`. */
  readonly likeOnly?: boolean | undefined
}

/** One colour of a step, as it is compared. */
export type StepColour<C extends Candidate> = {
  /** Of a combined colour the reading that weighs most in it. */
  readonly candidate: C
  readonly combined: CombinedColour | null
  readonly seen: Comparable
}

type Compared<C extends Candidate> = StepColour<C> & { readonly comparison: Comparison }

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

/** Most alike first, then nearest. */
const byWorth = <C extends Candidate>(a: Compared<C>, b: Compared<C>): number =>
  a.comparison.unlikeness - b.comparison.unlikeness || byNearness(a, b)

/** Readings that are alike as one colour. */
function together<C extends Candidate>(alike: readonly C[]): StepColour<C> {
  const [only] = alike
  if (only && alike.length === 1) return { candidate: only, combined: null, seen: only.reading }
  const { lab, bound90, used, outliers, disagreement } = combineReadings(alike.map(({ reading }) => reading))
  const heaviest = used[0]!.reading
  const candidate = alike.find(({ reading }) => reading === heaviest)!
  // a light that only some of them name is the light of all
  const lightId = alike.find(({ reading }) => reading.lightId !== null)?.reading.lightId ?? null
  const mean = used.map(({ reading, weight }) => ({ weight, of: reading }))
  return {
    candidate,
    combined: { lab, bound90, count: used.length, leftOut: outliers.length, disagree: disagreement !== null },
    seen: { ...candidate.reading, lab, bound90, lightId, mean },
  }
}

/**
 * The colours of one step, whatever the reference: each reading that is alone of its kind, and several alike (view,
 * stage, light) as their combined colour.
 * @param candidates  the readings of one step
 */
export function coloursOfStep<C extends Candidate>(candidates: readonly C[]): StepColour<C>[] {
  if (candidates.length === 1) return [together(candidates)]
  const byReading = new Map<Comparable, C>(candidates.map((candidate) => [candidate.reading, candidate]))
  return likeReadings(candidates.map(({ reading }) => reading)).map((alike) =>
    together(alike.map((reading) => byReading.get(reading)!)),
  )
}

/**
 * The steps nearest to a reference by CIEDE2000, nearest first, equals by the older panel; the order of the input does
 * not matter. Each step comes once, by its best colour: the one most alike to the reference (`unlikeness`), of these
 * the nearest. A flop reading would otherwise pass for the face of a panel because it happens to lie nearer. Readings
 * of a step that are alike (view, stage, light) count as one, their combined colour: else a step that was read often
 * would come nearest by chance. A step of which no reading is like the reference's stays in the list by what there is,
 * and says so.
 * @param candidates  readings that have passed the filters; those of one step share its `stepId`
 */
export function rankMatches<C extends Candidate>(
  reference: Comparable,
  candidates: Iterable<C>,
  options: RankOptions,
): Ranked<C>[] {
  const { sameLimit, count, weights = null, within = null, likeOnly = false } = options
  const steps = new Map<string, C[]>()
  for (const candidate of candidates) {
    const known = steps.get(candidate.stepId)
    if (known) known.push(candidate)
    else steps.set(candidate.stepId, [candidate])
  }
  const found: Compared<C>[] = []
  for (const step of steps.values()) {
    const compared = coloursOfStep(step).map((one) => ({
      ...one,
      comparison: compareReadings(reference, one.seen, weights),
    }))
    const best = compared.reduce((a, b) => (byWorth(b, a) < 0 ? b : a))
    if (likeOnly && !isLike(best.comparison.unlikeness)) continue
    if (within !== null && !(best.comparison.de00 <= within)) continue
    found.push(best)
  }
  return found
    .toSorted(byNearness)
    .slice(0, count)
    .map(({ candidate, combined, comparison: { from, to, de00, bound90, unlike, unlikeness } }) => ({
      candidate,
      combined,
      de00,
      bound90,
      words: describeDifference(from, to),
      couldBeSame: couldBeSame(de00, bound90, sameLimit),
      chanceSame: chanceSame(de00, bound90, sameLimit),
      unlike: [...unlike],
      unlikeness,
    }))
}
